"""Row types of the lists a counter keeps: drugs, products, containers, devices, patients, people."""
