//! y
fn main() {}
