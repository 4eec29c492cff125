//! The page: one document, read from top to bottom. Holds no mathematics.
