//! The native command: `pullmark sheet FILE… [--json]`.

fn main() {}
