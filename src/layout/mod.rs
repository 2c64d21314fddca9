//! What is drawn: the parts of a system in section, and the edits that change them.

mod anchoring;
mod building;
mod cistern;
mod climate;
mod cylinder;
mod edit;
mod extent;
mod fall;
mod fitting;
mod following;
mod group;
mod id;
mod lagging;
mod lock;
mod loft;
mod mirror;
mod note;
mod outlet;
mod piece;
mod platform;
mod port;
mod resize;
mod run;
mod survey;
mod tags;
mod trace;
mod whole;

pub use crate::catalogue::{PlyClass, StrengthClass};
pub use building::{
    Building, Ceiling, Hatch, Joists, Lie, LoadDuration, LoftHatch, Roof, ServiceClass, Storey, SupportKind, Wall,
};
pub use cistern::{Cistern, CisternRole, DipTube, FloatValve, FloatValvePattern, Jacket, Lid, Screen};
pub use climate::Climate;
pub use cylinder::{CoilDuty, CutOut, Cylinder, CylinderCover, CylinderGrade, Immersion, ImmersionPlace};
pub use edit::{Edit, EditError, apply, apply_all};
pub use extent::extent;
pub use fall::gradient_of;
pub use group::{Align, Pasted};
pub use id::{BadId, Id, ends_in_number};
pub use lock::{Held, Lock};
pub use note::Note;
pub use outlet::{Boiler, BoilerKind, Outlet, OutletKind, Passes, Taps};
pub use piece::Piece;
pub use platform::{Bearers, Board, BoardMaterial, Frame, Platform, UNTOLD_BOARD_MM};
pub use port::{
    COIL_FLOW, COIL_RETURN, COLD, COLD_INLET, Connection, DRAW_OFF, FLOW, HOT, INLET, MAINS, PRIMARY_FLOW,
    PRIMARY_RETURN, RETURN, Tapping, suits,
};
pub use resize::Side;
pub use run::{Clips, Discharge, End, InLine, InLineKind, Lagging, Run, Service, WhichEnd};
pub use survey::{Heading, Survey, TapeClass};
pub use tags::Tagged;
pub use trace::Traces;
pub use whole::{BrokenReference, FORMAT, Layout, Part, PartRef};
