//! The window: driven by accessible names, by keys and by the pointer, without a display.

#[path = "../hand/asking.rs"]
mod asking;
mod commands;
#[path = "../example/mod.rs"]
mod example;
mod habits;
mod handing;
mod hands;
mod lessons;
#[path = "../level_roof/mod.rs"]
mod level_roof;
mod mending;
#[path = "../../benches/growing/multiplied.rs"]
mod multiplied;
mod papers;
mod people;
mod plain_words;
#[path = "../hand/pointer.rs"]
mod pointer;
#[path = "../hand/reading.rs"]
mod reading;
#[path = "../screen/mod.rs"]
mod screen;
mod setting_out;
mod starting;
#[path = "../hand/typing.rs"]
mod typing;
mod views;
mod walk;
mod window;
