//! Water: the network and what happens in time, against print, reference libraries and what must hold for any pipes.

#[path = "../cut_up/mod.rs"]
mod cut_up;
mod drawn_alike;
#[path = "../drawn_from/mod.rs"]
mod drawn_from;
mod drawn_odd;
mod drawn_rated;
mod drawn_water;
#[path = "../example/mod.rs"]
mod example;
#[path = "../near/mod.rs"]
mod near;
mod network;
mod oracle;
#[path = "../played/mod.rs"]
mod played;
mod printed;
mod published;
mod trials;
mod trials_by_reference;
mod trials_of_several;
#[path = "../turned_round/mod.rs"]
mod turned_round;
