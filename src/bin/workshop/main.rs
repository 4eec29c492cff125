//! The project's own tool: `cargo site` builds and serves, `cargo proof` proves.

fn main() {}
