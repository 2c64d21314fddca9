//! The clear height above cisterns, to whatever is lowest there.

use super::linked::filled_by_link;
use super::reading::{difference, tenths_mm};
use super::standing::Vessel;
use super::{Axis, Feature, Have, Place, Reading, Room, Site, room};
use crate::geom::overlap;
use crate::layout::{Cistern, Id, Lie, Tapping};

/// The half of a cistern on one of its sides.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Half {
    Left,
    Right,
}

impl Half {
    const fn opposite(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }
}

/// Clear height above a storage cistern's top on the float-valve side; nothing where nothing lies above it.
#[must_use]
pub fn at_float_valve(site: &Site<'_>) -> Vec<Reading> {
    let valved = site.storage_cisterns().filter(|cistern| !filled_by_link(site, cistern));
    valved.filter_map(|cistern| on_side(site, cistern, side_of_valve(cistern))).collect()
}

/// Clear height above a storage cistern's top on the side away from the float valve.
#[must_use]
pub fn opposite(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cistern: &Cistern| {
        if filled_by_link(site, cistern) {
            // Without a valve on either side the roomier one will do.
            return on_roomier_side(site, cistern);
        }
        on_side(site, cistern, side_of_valve(cistern).map(Half::opposite))
    };
    site.storage_cisterns().filter_map(reading).collect()
}

/// The same above a feed-and-expansion cistern's top on the float-valve side.
#[must_use]
pub fn over_expansion(site: &Site<'_>) -> Vec<Reading> {
    site.expansion_cisterns().filter_map(|cistern| on_side(site, cistern, side_of_valve(cistern))).collect()
}

/// Clear height over the half on one side. Where nobody has told which side it is, neither has more than the roomier one.
fn on_side(site: &Site<'_>, cistern: &Cistern, half: Option<Half>) -> Option<Reading> {
    let find_out = "find on which side the float valve is";
    match half {
        Some(half) => headroom(site, cistern, half),
        None => on_roomier_side(site, cistern).map(|roomier| match roomier.have {
            Have::Untold(_) => Reading::untold(&cistern.id, find_out),
            _ => roomier.but_for(Some(find_out.to_owned())),
        }),
    }
}

fn on_roomier_side(site: &Site<'_>, cistern: &Cistern) -> Option<Reading> {
    let [left, right] = [Half::Left, Half::Right].map(|half| headroom(site, cistern, half));
    let (Some(left), Some(right)) = (left, right) else { return None };
    let clear_mm = |reading: &Reading| match reading.have {
        Have::Amount(clear, _) => clear.value,
        _ => f64::INFINITY,
    };
    Some(if clear_mm(&left) >= clear_mm(&right) { left } else { right })
}

/// On which side the float valve sits.
fn side_of_valve(cistern: &Cistern) -> Option<Half> {
    match cistern.float_valve?.shank {
        Tapping::Left(_) => Some(Half::Left),
        Tapping::Right(_) => Some(Half::Right),
        Tapping::Base(along) | Tapping::Top(along) if along.to_mm() <= cistern.length.to_mm() / 2.0 => Some(Half::Left),
        Tapping::Base(_) | Tapping::Top(_) => Some(Half::Right),
    }
}

/// Something above a cistern.
struct Overhead {
    name: String,
    underside_mm: f64,
    place: Place,
}

/// Clear height over one half of a cistern.
fn headroom(site: &Site<'_>, cistern: &Cistern, half: Half) -> Option<Reading> {
    let (left, right) = cistern.span_mm();
    let middle = f64::midpoint(left, right);
    let (side_mm, half_mm, rim) = match half {
        Half::Left => (left, (left, middle), Feature::Left),
        Half::Right => (right, (middle, right), Feature::Right),
    };
    let mut over = floors_over(site, cistern, side_mm);
    let is_outside = room::stands_outside(site, cistern);
    over.extend(roof_over(site, side_mm, half_mm).filter(|_| !is_outside));
    let is_roofed = is_outside || !over.is_empty();
    over.extend(joists_over(site, cistern, half_mm));
    over.extend(parts_over(site, cistern, half_mm));
    let lowest = over.into_iter().min_by(|a, b| a.underside_mm.total_cmp(&b.underside_mm));
    let roof = match site.roof() {
        None => "measure the underside of the roof above the cistern",
        Some(_) => "draw the roof line as far as it reaches over the cistern",
    };
    let Some(Overhead { name, underside_mm, place }) = lowest else {
        return (!is_outside).then(|| Reading::untold(&cistern.id, roof));
    };
    let top = site.level(cistern.rim());
    let clear = site.taped(underside_mm) - top;
    let reading = Reading::mm(&cistern.id, clear)
        .but_for((!is_roofed).then(|| roof.to_owned()))
        .with_room(Room::Below, room::below_cistern_mm(site, cistern))
        .between(Axis::Upright, [Place::of(&cistern.id, rim), place])
        .working(difference((&name, tenths_mm(underside_mm)), ("top of cistern", tenths_mm(top.value)), clear));
    Some(reading)
}

/// The roof at the side of the cistern, and at any break of its line over that half, whichever is least.
fn roof_over(site: &Site<'_>, side_mm: f64, half_mm: (f64, f64)) -> Option<Overhead> {
    let roof = site.roof()?;
    let over = |x_mm: f64| Some((x_mm, roof.height_at(x_mm)?));
    let breaks = roof.vertices().iter().map(|vertex| vertex.x).filter(|x| *x >= half_mm.0 && *x <= half_mm.1);
    let lower = |low: (f64, f64), next: (f64, f64)| if next.1 < low.1 { next } else { low };
    let (x_mm, underside_mm) = breaks.filter_map(over).fold(over(side_mm)?, lower);
    Some(Overhead { name: "roof".to_owned(), underside_mm, place: Place::roof(x_mm) })
}

/// What begins in the upper half of a cistern, or higher, is above it; what is lower stands beside it or carries it.
fn is_above(cistern: &Cistern, underside_mm: f64) -> bool {
    underside_mm > f64::midpoint(cistern.at.z.to_mm(), cistern.rim().to_mm())
}

/// Ceiling and floors above a cistern that stands below them. Where there is one, no roof has to be told.
fn floors_over(site: &Site<'_>, cistern: &Cistern, x_mm: f64) -> Vec<Overhead> {
    let building = site.building();
    let ceiling = building.ceiling.map(|ceiling| Overhead {
        name: "ceiling".to_owned(),
        underside_mm: ceiling.underside.to_mm(),
        place: Place { part: None, feature: Feature::Ceiling(x_mm) },
    });
    let decks = building.storeys.iter().enumerate().map(|(number, storey)| Overhead {
        name: format!("floor of {}", storey.id.with_article()),
        underside_mm: storey.underside_mm(),
        place: Place { part: None, feature: Feature::Deck(number, x_mm) },
    });
    ceiling.into_iter().chain(decks).filter(|over| is_above(cistern, over.underside_mm)).collect()
}

fn joists_over(site: &Site<'_>, cistern: &Cistern, half_mm: (f64, f64)) -> Option<Overhead> {
    let joists = site.building().joists.as_ref()?;
    let underside_mm = joists.top.to_mm() - joists.depth.to_mm();
    let reach_mm = joists.breadth.to_mm() / 2.0;
    let x_mm = match joists.lie {
        Lie::EndOn => joists.centres_between_mm(half_mm.0 - reach_mm, half_mm.1 + reach_mm).next()?.1,
        Lie::Along => f64::midpoint(half_mm.0, half_mm.1),
    };
    is_above(cistern, underside_mm).then(|| Overhead {
        name: "underside of the joists".to_owned(),
        underside_mm,
        place: Place::joist(x_mm),
    })
}

/// Platforms with their bearers, and vessels, over one half of a cistern.
fn parts_over(site: &Site<'_>, cistern: &Cistern, half_mm: (f64, f64)) -> Vec<Overhead> {
    let shares = |span_mm: (f64, f64), deep_mm: Option<(f64, f64)>| {
        overlap(half_mm, span_mm).is_some() && !room::stand_behind(cistern.front_and_back_mm(), deep_mm)
    };
    let over = |id: &Id, underside_mm: f64| Overhead {
        name: format!("underside of {}", id.with_article()),
        underside_mm,
        place: Place::of(id, Feature::Base),
    };
    let platforms = site.layout().platforms.iter().filter(|part| shares(part.span_mm(), part.front_and_back_mm()));
    let platforms = platforms.map(|part| over(&part.id, part.foot_mm()));
    let vessels = Vessel::all(site.layout()).filter(|vessel| *vessel.id() != cistern.id);
    let vessels = vessels.filter(|vessel| shares(vessel.span_mm(), vessel.front_and_back_mm()));
    let vessels = vessels.map(|vessel| over(vessel.id(), vessel.base_mm()));
    platforms.chain(vessels).filter(|part| is_above(cistern, part.underside_mm)).collect()
}
