//! The worker: owns the logs and the analysis, answers the page.
