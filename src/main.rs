//! y
fn main(){}
