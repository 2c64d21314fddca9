//! The two sides of mixers, as they are drawn: their heads at rest, and what each side gives by itself.

use super::Running;
use super::circuit::{COLD_ASSUMED_CELSIUS, Circuit, Conditions, Open, Supply, TOO_MANY_TAPS, taps};
use super::demand::Counting;
use super::main_head::main_head_m;
use super::readings::what_it_gives;
use crate::layout::{COLD, HOT, Outlet, OutletKind, Taps};
use crate::measure::{BroughtBy, DrivenSide, Drives, Place, Reading, Site, find_out};
use crate::units::{Level, Measured};

/// How warm the water is at which people stand under a shower, °C (common practice, no source).
pub(super) const USED_AT_CELSIUS: f64 = 38.0;

/// Of the mixer of a sink that has cold water from the main and stored hot water, or the other way round.
const MIXES_AT_MOUTH: &str = "see whether hot and cold keep apart up to the mouth of the mixer, as is usual at a sink between main and \
                              stored water (common practice, no source); if they do, tell its taps as separate";

const DRAW_BOTH_PIPES: &str = "draw both of its pipes to the cistern or the main that feeds it";

/// For each mixer: how far the heads that drive its two sides differ, mm. Nothing where the main drives both.
#[must_use]
pub fn mixer_heads(running: &Running<'_>) -> Vec<Reading> {
    let site = running.circuit.site();
    let mixers: Vec<&Outlet> = site.layout().outlets.iter().filter(|outlet| taps(outlet) == Taps::Mixer).collect();
    if mixers.is_empty() {
        return Vec::new();
    }
    let drives = Drives::of(site);
    let read = |outlet: &&Outlet| {
        let (hot, cold) = (drives.at(outlet, HOT)?, drives.at(outlet, COLD)?);
        match (by_main_alone(&hot), by_main_alone(&cold)) {
            (true, true) => None,
            (true, false) => Some(against_main(site, outlet, HOT, ("cold", &cold))),
            (false, true) => Some(against_main(site, outlet, COLD, ("hot", &hot))),
            (false, false) => {
                let mut taps = running.circuit.taps().iter();
                let tap = taps.position(|tap| tap.outlet.id == outlet.id && tap.supply == Supply::Mixed)?;
                Some(between_cisterns(running, tap, [&hot, &cold]))
            }
        }
    };
    mixers.iter().filter_map(read).collect()
}

/// For each mixer that cisterns feed, and each of its sides: what that gives with the mixer turned to it alone, L/s, against
/// its part in the least flow of such an outlet at the warmth at which people use it. Water that is not hot enough for that
/// is another rule's fault.
#[must_use]
pub fn what_each_side_gives(running: &Running<'_>) -> Vec<Reading> {
    let circuit = &running.circuit;
    let taps = circuit.taps().iter().enumerate();
    let mixers: Vec<usize> = taps.filter(|(_, tap)| tap.supply == Supply::Mixed).map(|(number, _)| number).collect();
    if mixers.is_empty() {
        return Vec::new();
    }
    if running.alone.is_none() {
        return mixers.iter().map(|tap| Reading::untold(&circuit.taps()[*tap].outlet.id, TOO_MANY_TAPS)).collect();
    }
    let [to_hot, to_cold] =
        [Supply::Hot, Supply::Cold].map(|side| Circuit::of(circuit.site()).with_mixers_turned(side));
    let of_mixer = |tap: usize| {
        let above_cold = |celsius: f64| celsius - COLD_ASSUMED_CELSIUS;
        let hot_celsius = to_hot.celsius_before(tap);
        let hot_share = above_cold(USED_AT_CELSIUS) / above_cold(hot_celsius);
        let sides = [(&to_hot, "hot side", hot_share), (&to_cold, "cold side", 1.0 - hot_share)];
        sides.into_iter().filter(move |_| hot_celsius > USED_AT_CELSIUS).filter_map(move |(turned, side, share)| {
            let outlet = turned.taps()[tap].outlet;
            let flows = turned.flows(&Conditions::with(Open::Numbered(vec![tap])));
            let open = format!("{} open alone, turned to its {side}", outlet.id.spoken());
            let with_air_l_s = Some(flows.given[tap].flow_l_s);
            let reading = what_it_gives(turned, tap, &flows.taps[tap].outcome, with_air_l_s, &open)?;
            let least_l_s = Counting::Bs6700.outlet(outlet.kind).least_l_s;
            let need_l_s = least_l_s * share;
            Some(reading.against(Measured::exact(need_l_s)).on_side(side).working(format!(
                "{least_l_s:.2} L/s at {USED_AT_CELSIUS} °C, of {hot_celsius:.0} °C and {COLD_ASSUMED_CELSIUS} °C, take {need_l_s:.3} L/s from there"
            )))
        })
    };
    mixers.into_iter().flat_map(of_mixer).collect()
}

fn by_main_alone(side: &DrivenSide<'_>) -> bool {
    side.main && side.cisterns.is_empty()
}

/// Of a mixer by the number of its tap.
fn between_cisterns(running: &Running<'_>, tap: usize, sides: [&DrivenSide<'_>; 2]) -> Reading {
    let (id, site) = (&running.circuit.taps()[tap].outlet.id, running.circuit.site());
    let (hot_m, cold_m) = match running.circuit.heads_at_rest_m(tap).as_deref() {
        Ok([hot_m, cold_m]) => (*hot_m, *cold_m),
        Ok(_) => return Reading::untold(id, DRAW_BOTH_PIPES),
        Err(find_out) => return Reading::untold(id, find_out.clone()),
    };
    // One cistern on both sides stands at one level, however well that was measured.
    let lines = sides.map(|side| side.cisterns.first().and_then(|cistern| Some((&cistern.id, cistern.surface()?))));
    let variance = match lines {
        [Some((hot, hot_line)), Some((cold, cold_line))] if hot != cold => {
            (site.level(hot_line) - site.level(cold_line)).variance
        }
        _ => 0.0,
    };
    Reading::mm(id, Measured { value: (hot_m - cold_m).abs() * 1000.0, variance })
        .at(Place::middle(id))
        .brought_by(Some(BroughtBy::StoredWater))
        .working(format!("head at rest, as cold water: hot {hot_m:.2} m, cold {cold_m:.2} m"))
}

/// One side by a cistern, the other, at a port, by the main.
fn against_main(site: &Site<'_>, outlet: &Outlet, by_main: &str, (name, side): (&str, &DrivenSide<'_>)) -> Reading {
    let id = &outlet.id;
    let heads = || -> Result<Reading, String> {
        let water = stored_water(side)?;
        let stored_m = (water.to_mm() - outlet.at.z.to_mm()) / 1000.0;
        let main_m = main_head_m(site, (id, by_main), outlet.at.z.to_mm())?;
        // The outlet's level is in both; those of the water and of where the main comes in are taped.
        let variance = (site.level(water) - site.level(outlet.at.z)).variance;
        Ok(Reading::mm(id, Measured { value: (main_m - stored_m).abs() * 1000.0, variance })
            .at(Place::middle(id))
            .brought_by(Some(BroughtBy::Main))
            .unless((outlet.kind == OutletKind::Sink).then(|| MIXES_AT_MOUTH.to_owned()))
            .working(format!("head at rest: {name} {stored_m:.2} m from the cistern, main {main_m:.2} m of water")))
    };
    heads().unwrap_or_else(|find_out| Reading::untold(id, find_out))
}

/// How high water stands on a side that cisterns drive.
fn stored_water(side: &DrivenSide<'_>) -> Result<Level, String> {
    let nearest = side.cisterns.first().ok_or(DRAW_BOTH_PIPES)?;
    let lines = side.cisterns.iter().filter_map(|cistern| cistern.surface());
    lines.max().ok_or_else(|| find_out::water_line(&nearest.id))
}
