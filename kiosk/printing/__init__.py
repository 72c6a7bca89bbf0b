"""Labels and pages on paper: ReportLab, Data Matrix, reading back."""
