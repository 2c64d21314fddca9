//! Readings of warmth and frost for the rules: a number where all was told, and what to tell where something was assumed.

use super::{CisternWarmth, Condition, Exposure, LineUntold, LoftPipe, Reckoned, Reheat, Stretch, Warmth};
use crate::layout::{CisternRole, Id};
use crate::measure::{Axis, Beneath, Feature, Place, Reading};
use crate::units::{Measured, Unit};

/// Why a boiler never heats a cylinder, where a valve alone is to blame.
pub const KEPT_BACK: &str = "a non-return valve that keeps the boiler's water from it";

/// What never freezes is shown as lasting so long, h: a month, longer than any frost.
const NEVER_H: f64 = 720.0;
/// How many pipes a reading about several names; more help nobody.
const MOST_NAMED: usize = 12;

/// A reading of a figure: the number when all was told; otherwise what to tell, with the number that the assumptions give.
fn reading(subject: &Id, measured: Measured, unit: Unit, assumed: &[Condition]) -> Reading {
    if assumed.is_empty() {
        return Reading::amount(subject, measured, unit);
    }
    let list = |words: Vec<String>| words.join(", ");
    let find_out = list(assumed.iter().map(|condition| condition.find_out().to_owned()).collect());
    let assumptions = list(assumed.iter().map(|condition| condition.assumption()).collect());
    let amount = unit.of(measured.value);
    Reading::untold(subject, format!("tell {find_out}; assuming {assumptions}, it would be {amount}"))
}

/// What to find out of a cistern over the roof, which is reckoned in the air of a loft: in the open it is colder, and sun
/// and wind come to it.
fn in_the_open(cistern: &CisternWarmth) -> Option<String> {
    let words =
        "find out how cold and how warm it gets outside, where the cistern stands: only a loft's air is told here";
    (cistern.beneath == Beneath::OpenAir).then(|| words.to_owned())
}

/// Warmest that the water of each storage cistern gets on a hot summer's day.
#[must_use]
pub fn cistern_in_summer(warmth: &Warmth) -> Vec<Reading> {
    let of_one = |cistern: &CisternWarmth| {
        let place = Place::of(&cistern.id, Feature::WaterLine);
        match &cistern.summer {
            Err(find_out) => Reading::untold(&cistern.id, find_out.clone()).at(place),
            Ok(Reckoned { value: summer, assumed }) => {
                let day = &summer.day;
                let room = if day.to_room_w_k > 0.0 {
                    format!("room below {}: U = {:.2} W/K", Unit::Celsius.of(day.room_c), day.to_room_w_k)
                } else {
                    "cut off from the room below".to_owned()
                };
                let beneath = cistern.beneath.words().into_iter();
                let reading = reading(&cistern.id, Measured::exact(summer.peak_c), Unit::Celsius, assumed)
                    .at(place)
                    .but_for(in_the_open(cistern))
                    .working("one of many like days, the water mixed: C dT/dt = Σ U (around − T) + draw-off made up")
                    .working(format!(
                        "loft {} to {}: U = {:.2} W/K; {room}; main {}",
                        Unit::Celsius.of(day.loft_c.0),
                        Unit::Celsius.of(day.loft_c.1),
                        day.to_loft_w_k,
                        Unit::Celsius.of(day.make_up_c)
                    ))
                    .working(format!(
                        "peak {}; above 20 °C for {} of the day",
                        Unit::Celsius.of(summer.peak_c),
                        Unit::Hour.of(summer.warm_h)
                    ));
                reading.workings(beneath)
            }
        }
    };
    let storage = warmth.cisterns.iter().filter(|cistern| cistern.role == CisternRole::Storage);
    storage.map(of_one).collect()
}

/// Hours until the water of each cistern is at 0 °C, against the length of the frost.
#[must_use]
pub fn cistern_in_frost(warmth: &Warmth) -> Vec<Reading> {
    let of_one = |cistern: &CisternWarmth| {
        let place = Place::of(&cistern.id, Feature::WaterLine);
        let frost = match &cistern.frost {
            Ok(frost) => frost,
            Err(find_out) => return Reading::untold(&cistern.id, find_out.clone()).at(place),
        };
        let value = &frost.value;
        let lasts = value.to_freezing_h.unwrap_or(NEVER_H).min(NEVER_H);
        let reading = reading(&cistern.id, Measured::exact(lasts), Unit::Hour, &frost.assumed)
            .at(place)
            .against(Measured::exact(value.lasts_h))
            .but_for(in_the_open(cistern))
            .working(format!(
                "from {} it tends to {} with a time constant of {}",
                Unit::Celsius.of(value.begins_c),
                Unit::Celsius.of(value.tends_to_c),
                Unit::Hour.of(value.time_constant_h)
            ));
        let reading = reading.workings(cistern.beneath.words());
        match value.to_freezing_h {
            Some(freezing_h) => reading.working(format!("at 0 °C after {}", Unit::Hour.of(freezing_h))),
            None => reading.working("it stays above 0 °C; shown as a month"),
        }
    };
    warmth.cisterns.iter().map(of_one).collect()
}

/// Hours until half the water in each pipe of the loft is ice where it freezes first, against the length of the frost.
///
/// Pipes for which the weather is assumed are one reading about the one that freezes first, so that one thing to tell is
/// asked for once.
#[must_use]
pub fn pipes_in_frost(warmth: &Warmth) -> Vec<Reading> {
    let mut readings: Vec<Reading> = Vec::new();
    if let Some(first) = warmth.homeless_pipes.first() {
        readings.push(
            Reading::untold(first, "draw the ceiling below the loft")
                .along_with(warmth.homeless_pipes.iter().take(MOST_NAMED)),
        );
    }
    let mut assumed: Vec<(&LoftPipe, &Reckoned<Exposure>)> = Vec::new();
    for pipe in &warmth.loft_pipes {
        match &pipe.worst {
            Err(find_out) => readings.push(Reading::untold(&pipe.id, find_out.clone())),
            Ok(exposure) if exposure.assumed.is_empty() => readings.extend(told_pipe_in_frost(pipe, exposure)),
            Ok(exposure) => assumed.push((pipe, exposure)),
        }
    }
    let ice_h = |exposure: &Exposure| exposure.to_half_ice_h.unwrap_or(f64::INFINITY);
    let first = assumed.iter().min_by(|a, b| ice_h(&a.1.value).total_cmp(&ice_h(&b.1.value)));
    if let Some((pipe, exposure)) = first {
        let others = assumed.iter().map(|(pipe, _)| &pipe.id).take(MOST_NAMED);
        readings.extend(pipe_in_frost(pipe, exposure).map(|reading| reading.along_with(others)));
    }
    readings
}

/// The same, as far as it holds wherever the water stands in it.
fn told_pipe_in_frost(pipe: &LoftPipe, most: &Reckoned<Exposure>) -> Option<Reading> {
    let most = pipe_in_frost(pipe, most)?;
    let Some(LineUntold { find_out, certain }) = &pipe.line_untold else { return Some(most) };
    let certain = certain.as_ref().and_then(|certain| pipe_in_frost(pipe, certain.as_ref().ok()?));
    Some(match certain {
        Some(certain) => certain.at_worst(find_out.clone(), most),
        None => most.unless(Some(find_out.clone())),
    })
}

/// `None` where the loft does not freeze.
fn pipe_in_frost(pipe: &LoftPipe, exposure: &Reckoned<Exposure>) -> Option<Reading> {
    let value = &exposure.value;
    let Stretch { from_mm, to_mm, lagging_mm, conductivity_w_m_k } = value.stretch;
    let (freezing_h, ice_h) = (value.to_freezing_h?, value.to_half_ice_h?);
    let cover = if lagging_mm > 0.0 {
        format!("{lagging_mm} mm of insulation at {conductivity_w_m_k} W/mK")
    } else {
        "bare".to_owned()
    };
    let wanted = match value.wanted_mm {
        Some(0.0) => "without insulation it would last as long as the frost".to_owned(),
        // Less than the thickness that lasts just so long does not last.
        Some(mm) => format!("{:.0} mm of such insulation would last {}", mm.ceil(), Unit::Hour.of(value.lasts_h)),
        None => "no thickness would last as long as the frost: keep the pipe out of the loft, or heat it".to_owned(),
    };
    let places = [Feature::Along(from_mm), Feature::Along(to_mm)].map(|feature| Place::of(&pipe.id, feature));
    Some(
        reading(&pipe.id, Measured::exact(ice_h), Unit::Hour, &exposure.assumed)
            .against(Measured::exact(value.lasts_h))
            .between(Axis::Along, places)
            .working(format!("first to freeze: {from_mm:.0} to {to_mm:.0} mm along, {cover}"))
            .working(format!("0 °C after {}, half ice after {}", Unit::Hour.of(freezing_h), Unit::Hour.of(ice_h)))
            .working(wanted),
    )
}

/// Hours that the fastest way of heating takes to heat each cylinder from cold.
#[must_use]
pub fn reheat(warmth: &Warmth) -> Vec<Reading> {
    let of_one = |cylinder: &super::CylinderWarmth| {
        if cylinder.reheats.is_empty() {
            return Reading::untold(&cylinder.id, "tell what heats it: immersion heaters, or the pipes from a boiler");
        }
        let told = cylinder.reheats.iter().filter_map(|way| Some((way, way.hours.as_ref().ok()?)));
        let working = |reading: Reading| {
            told.clone().fold(reading, |reading, (way, taken)| {
                let taken =
                    taken.value.map_or_else(|| "it never gets there".to_owned(), |h| Unit::Hour.of(h).to_string());
                let at_best = if way.at_best.is_some() { ", at best" } else { "" };
                reading.working(format!("{:.0} L by the {}: {taken}{at_best}", cylinder.litres, way.words()))
            })
        };
        let timed = || told.clone().filter_map(|(way, taken)| Some((way, taken.value?, taken.assumed.as_slice())));
        let exact = soonest(timed().filter(|(way, ..)| way.at_best.is_none()));
        let at_best = soonest(timed().filter(|(way, ..)| way.at_best.is_some()));
        // A way of which too little is told may be faster.
        let untold = cylinder.reheats.iter().find_map(|way| way.hours.as_ref().err());
        let untold = untold.or(cylinder.heaters_untold.as_ref()).cloned();
        // Twice as much water takes twice as long.
        let hot_after = |taken_h: f64, assumed: &[Condition]| {
            let taken = Measured { value: taken_h, variance: (taken_h * cylinder.in_doubt).powi(2) };
            working(reading(&cylinder.id, taken, Unit::Hour, assumed))
        };
        match (exact, at_best, untold) {
            (Some((_, taken_h, assumed)), at_best, untold) => {
                hot_after(taken_h, assumed).unless(untold.or_else(|| at_best.and_then(|(way, ..)| way.at_best.clone())))
            }
            (None, Some((way, taken_h, assumed)), None) => hot_after(taken_h, assumed).but_for(way.at_best.clone()),
            (None, _, Some(find_out)) => Reading::untold(&cylinder.id, find_out),
            (None, None, None) => working(Reading::no(
                &cylinder.id,
                match cylinder.reheats.iter().any(|way| way.is_kept_back) {
                    true => KEPT_BACK,
                    false => "a heater too weak to reach the stored temperature",
                },
            )),
        }
    };
    warmth.cylinders.iter().map(of_one).collect()
}

/// A way of heating with the hours that it takes and what was assumed.
type Taken<'a> = (&'a Reheat, f64, &'a [Condition]);

fn soonest<'a>(ways: impl Iterator<Item = Taken<'a>>) -> Option<Taken<'a>> {
    ways.min_by(|a, b| a.1.total_cmp(&b.1))
}

/// The greatest standing loss that a cylinder of its size may have, W.
fn greatest_loss_w(cylinder: &super::CylinderWarmth) -> Measured {
    let of_litres = |litres: f64| super::standing::watts(super::standing::greatest_kwh_day(litres));
    let value = of_litres(cylinder.litres);
    Measured { value, variance: (of_litres(cylinder.litres * (1.0 + cylinder.in_doubt)) - value).powi(2) }
}

/// Standing loss of each cylinder, against the greatest that a cylinder of its size may have.
#[must_use]
pub fn standing_loss(warmth: &Warmth) -> Vec<Reading> {
    let of_one = |cylinder: &super::CylinderWarmth| match &cylinder.standing {
        Err(find_out) => Reading::untold(&cylinder.id, find_out.clone()),
        Ok(standing) => {
            let value = &standing.value;
            // By its insulation it loses more the more it holds, as it may.
            let (by, greatest) = match value.known_by {
                super::KnownBy::Label => ("by its label", greatest_loss_w(cylinder)),
                super::KnownBy::Insulation => {
                    ("by its insulation: V × (0.005 + a / (t + b)) × (120 / V)^⅓", Measured::exact(value.greatest_w))
                }
            };
            reading(&cylinder.id, Measured::exact(value.loss_w), Unit::Watt, &standing.assumed)
                .against(greatest)
                .working(format!("{:.1} W at 45 K, {by}; energy class {}", value.loss_w, value.class.words()))
                .working(format!("that is {:.2} kWh in 24 h", value.loss_w * 0.024))
                .working(format!(
                    "1.15 (0.2 + 0.051 × {:.0}^⅔) kWh in 24 h = {:.1} W",
                    cylinder.litres, value.greatest_w
                ))
        }
    };
    warmth.cylinders.iter().map(of_one).collect()
}

/// The most that vent and feed of each cylinder carry away together if water circulates in them, against the greatest
/// standing loss that a cylinder of its size may have; nothing of one that has no vent.
#[must_use]
pub fn one_pipe_circulation(warmth: &Warmth) -> Vec<Reading> {
    let of_one = |cylinder: &super::CylinderWarmth| {
        let (vent, feed) = match (&cylinder.vent, &cylinder.feed) {
            (Ok(vent), Ok(feed)) => (vent, feed),
            (Err(find_out), _) | (_, Err(find_out)) => return Reading::untold(&cylinder.id, find_out.clone()),
        };
        let mut assumed = vent.assumed.clone();
        assumed.extend(feed.assumed.iter().filter(|condition| !vent.assumed.contains(condition)));
        let greatest = greatest_loss_w(cylinder);
        let greatest_w = greatest.value;
        let line = |name: &str, range: &super::Parasitic| {
            format!(
                "{name}, {:.2} m: {:.1} W with stagnant water, {:.1} W hot throughout",
                range.length_m, range.stagnant_w, range.circulating_w
            )
        };
        let together_w = vent.value.circulating_w + feed.value.circulating_w;
        let places = [&vent.value, &feed.value].into_iter().filter_map(|range| range.runs.last());
        let places: Vec<Place> = places.map(Place::middle).collect();
        reading(&cylinder.id, Measured::exact(together_w), Unit::Watt, &assumed)
            .along_with(vent.value.runs.iter().chain(&feed.value.runs))
            .against(greatest)
            .between(Axis::None, places)
            .working(line("vent", &vent.value))
            .working(line("feed", &feed.value))
            .working(format!(
                "the most that BS 1566-1 (from memory) lets a cylinder of {:.0} L lose: 1.15 (0.2 + 0.051 × {:.0}^⅔) kWh in 24 h = {greatest_w:.1} W",
                cylinder.litres, cylinder.litres
            ))
            .working("the truth lies between; the most that is possible is judged")
    };
    warmth.cylinders.iter().filter(|cylinder| !cylinder.has_no_vent).map(of_one).collect()
}
