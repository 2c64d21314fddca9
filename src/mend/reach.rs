//! How far a handle goes: to where it is sensible, to where anything can be drawn at all, and why no further.

use super::course::tee_of_vent;
use super::demand::Toward;
use super::handle::{Handle, dip_tube_end, hole, length_mm};
use crate::layout::{End, Id, Layout};
use crate::units::{Length, Size};

/// A vent or a warning pipe is drawn nearer to its joint than this only by mistake, mm.
const CLEAR_OF_ENDS_MM: f64 = 30.0;
/// How far the free end of a pipe may be moved, mm.
const FREE_END_MM: f64 = 3000.0;
/// How far a cistern, cylinder or platform may be moved, mm: beyond it is another design.
const PART_MM: f64 = 2000.0;
/// How much a board may be made larger at one end, mm.
const BOARD_MM: f64 = 600.0;
/// Connections, float valve and water line stay this far from base and rim, mm.
const EDGE_MM: f64 = 20.0;
/// So much of a board has to be left for it to be drawn, mm.
const LEAST_OF_A_BOARD_MM: f64 = 10.0;
/// Sums of binary fractions are off by less than this, mm.
const TRACE_MM: f64 = 1e-6;
/// What ends nowhere can be drawn so far off, mm.
pub(super) const ANYWHERE_MM: f64 = 20_000.0;

/// What a handle moves along, and where on it it stands, mm.
enum Seat {
    /// A pipe: from its beginning, and how long it is.
    Line { at_mm: f64, length_mm: f64 },
    /// The side of a cistern: above its base, and how high it is.
    Side { at_mm: f64, height_mm: f64 },
    /// A board: what it measures the way in which it is made larger, where that is told.
    Board(Option<f64>),
    /// Open space.
    Space,
    /// Nothing: what it would move is not there.
    Nowhere,
}

impl Handle {
    /// How far it can go back and forth, mm.
    #[must_use]
    pub fn bounds_mm(&self, layout: &Layout) -> (f64, f64) {
        let within = |now_mm: f64, from_mm: f64, to_mm: f64| ((from_mm - now_mm).min(0.0), (to_mm - now_mm).max(0.0));
        match self.seat(layout) {
            Seat::Line { at_mm, length_mm } => within(at_mm, CLEAR_OF_ENDS_MM, length_mm - CLEAR_OF_ENDS_MM),
            Seat::Side { at_mm, height_mm } => within(at_mm, EDGE_MM, height_mm - EDGE_MM),
            Seat::Board(_) => (0.0, BOARD_MM),
            Seat::Space if matches!(self, Self::PartRight(_) | Self::PartUp(_)) => (-PART_MM, PART_MM),
            Seat::Space => (-FREE_END_MM, FREE_END_MM),
            Seat::Nowhere => (0.0, 0.0),
        }
    }

    /// How far it can be drawn back and forth at all, mm: to the rim of a cistern, the end of a pipe, where nothing is
    /// left of a board.
    pub(super) fn drawable_mm(&self, layout: &Layout) -> (f64, f64) {
        match self.seat(layout) {
            Seat::Line { at_mm, length_mm: to_mm } | Seat::Side { at_mm, height_mm: to_mm } => (-at_mm, to_mm - at_mm),
            Seat::Board(Some(size_mm)) => (LEAST_OF_A_BOARD_MM - size_mm, ANYWHERE_MM),
            Seat::Board(None) | Seat::Space | Seat::Nowhere => (-ANYWHERE_MM, ANYWHERE_MM),
        }
    }

    fn seat(&self, layout: &Layout) -> Seat {
        let side = |id: &Id, now: Option<Length>| {
            Some(Seat::Side { at_mm: now?.to_mm(), height_mm: layout.cistern(id)?.height.to_mm() })
        };
        let line = |id: &Id, now: Length| Some(Seat::Line { at_mm: now.to_mm(), length_mm: length_mm(layout, id)? });
        let board = |size: Option<Size>| Some(Seat::Board(size.map(Size::to_mm)));
        let seat = match self {
            Self::FreeEndUp(_) | Self::FreeEndRight(_) | Self::PartRight(_) | Self::PartUp(_) => Some(Seat::Space),
            Self::TeeAlong(id) => {
                let tee = layout.run(id).and_then(|vent| Some(vent.end(tee_of_vent(layout, vent)?)));
                match tee {
                    Some(End::Tee(host, at)) => line(host, *at),
                    _ => None,
                }
            }
            Self::FittingAlong(id, number) => {
                let fitting = layout.run(id).and_then(|run| run.fittings.as_ref()?.get(*number));
                fitting.and_then(|fitting| line(id, fitting.at))
            }
            Self::DipTubeUp(id) => side(id, layout.cistern(id).and_then(dip_tube_end)),
            Self::WaterLine(id) => side(id, layout.cistern(id).and_then(|cistern| cistern.water_line)),
            Self::FloatValveUp(id) => {
                let valve = layout.cistern(id).and_then(|cistern| cistern.float_valve);
                side(id, valve.map(|valve| valve.shank.distance()))
            }
            Self::ConnectionUp(id, port) => side(id, layout.cistern(id).and_then(|part| hole(part, port))),
            Self::PlatformLeft(id) | Self::PlatformRight(id) => board(layout.platform(id).map(|part| part.length)),
            Self::PlatformDepth(id) => board(layout.platform(id).and_then(|part| part.depth)),
        };
        seat.unwrap_or(Seat::Nowhere)
    }

    /// Whether it lies where it can be drawn.
    pub(super) fn is_drawable(&self, layout: &Layout) -> bool {
        let (back_mm, forth_mm) = self.drawable_mm(layout);
        back_mm <= TRACE_MM && forth_mm >= -TRACE_MM
    }

    /// Why it can go no further that way, in words.
    #[must_use]
    pub(super) fn end_words(&self, toward: Toward) -> String {
        let spoken = self.part().with_article();
        let (up, edge) = match toward {
            Toward::Forth => ("higher", "rim"),
            Toward::Back => ("lower", "base"),
        };
        match self {
            Self::FreeEndUp(_) => format!("the open end of {spoken} goes no {up} than by {FREE_END_MM:.0} mm"),
            Self::FreeEndRight(_) => format!("the open end of {spoken} goes aside by {FREE_END_MM:.0} mm at most"),
            Self::TeeAlong(_) => format!("the pipe that {spoken} rises from is no longer than it is"),
            Self::FittingAlong(..) => format!("{spoken} is no longer than it is"),
            Self::DipTubeUp(_) => format!("the dip tube of {spoken} ends {EDGE_MM:.0} mm from the {edge} at most"),
            Self::WaterLine(_) => format!("the water line of {spoken} stays {EDGE_MM:.0} mm from the {edge}"),
            Self::FloatValveUp(_) => format!("the float valve of {spoken} stays {EDGE_MM:.0} mm from the {edge}"),
            Self::ConnectionUp(_, port) => {
                let port = port.spoken().to_lowercase();
                format!("the {port} connection of {spoken} stays {EDGE_MM:.0} mm from the {edge}")
            }
            Self::PlatformLeft(_) => board_end(&spoken, "at the left", toward),
            Self::PlatformRight(_) => board_end(&spoken, "at the right", toward),
            Self::PlatformDepth(_) => board_end(&spoken, "at front and back", toward),
            Self::PartRight(_) | Self::PartUp(_) => format!("{spoken} is moved by {PART_MM:.0} mm at most"),
        }
    }

    /// Why it cannot even be drawn further off, in words.
    pub(super) fn edge_words(&self, toward: Toward) -> String {
        let spoken = self.part().with_article();
        let edge = match toward {
            Toward::Forth => "above the rim",
            Toward::Back => "below the base",
        };
        match self {
            Self::DipTubeUp(_) => format!("the dip tube cannot end {edge} of {spoken}"),
            Self::WaterLine(_) => format!("the water line cannot be {edge} of {spoken}"),
            Self::FloatValveUp(_) => format!("the float valve cannot be {edge} of {spoken}"),
            Self::ConnectionUp(_, port) => {
                format!("the {} connection cannot be {edge} of {spoken}", port.spoken().to_lowercase())
            }
            Self::TeeAlong(_) => format!("{spoken} cannot begin beyond the end of a pipe"),
            Self::FittingAlong(..) => format!("no fitting can be beyond the end of {spoken}"),
            Self::PlatformLeft(_) | Self::PlatformRight(_) | Self::PlatformDepth(_) => {
                format!("nothing would be left of the board of {spoken}")
            }
            Self::FreeEndUp(_) | Self::FreeEndRight(_) | Self::PartRight(_) | Self::PartUp(_) => {
                format!("{spoken} cannot be as far off as {:.0} m", ANYWHERE_MM / 1000.0)
            }
        }
    }
}

fn board_end(platform: &str, side: &str, toward: Toward) -> String {
    match toward {
        Toward::Back => format!("the board of {platform} is not made smaller {side}"),
        Toward::Forth => format!("the board of {platform} grows by {BOARD_MM:.0} mm at most {side}"),
    }
}
