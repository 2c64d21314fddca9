//! Lines that name a pipe by its size and the water that it leads to a place: "22 mm hot to bath".

use super::counts::TUBE_SIZES_MM;
use super::words::{Words, number};

/// Diameters of tube that only "mm" after them tells from a count, mm (BS EN 1057).
const SMALLER_SIZES_MM: &[f64] = &[8.0, 10.0, 12.0];
const MATERIALS: &[&str] = &["copper", "plastic", "pex", "polybutylene", "pb", "steel", "stainless", "lead"];
const SERVICES: &[&str] = &["hot", "cold"];
/// What may stand between the water and where it is led.
const LED_BY: &[&str] = &[
    "and", "water", "main", "mains", "supply", "supplies", "feed", "feeds", "pipe", "pipes", "run", "runs", "service",
    "services",
];
const LEADS: &[&str] = &["to", "for"];

/// A pipe that a line names in this way.
pub(super) struct ServicePipe<'w> {
    /// Its outside diameter, mm.
    pub size_mm: f64,
    /// What it is of; nothing where the line does not say.
    pub material: Option<&'w str>,
    /// The water that it leads.
    pub service: &'w str,
}

/// The first pipe that a line names so.
pub(super) fn service_pipe(words: &Words) -> Option<ServicePipe<'_>> {
    (0..words.all().len()).find_map(|at| beginning_at(words, at))
}

fn beginning_at(words: &Words, at: usize) -> Option<ServicePipe<'_>> {
    let size_mm = number(words.word(at))?;
    let mut next = at + 1;
    let has_unit = words.word(next) == "mm";
    next += usize::from(has_unit);
    let is_size = TUBE_SIZES_MM.contains(&size_mm) || (has_unit && SMALLER_SIZES_MM.contains(&size_mm));
    if !is_size {
        return None;
    }
    let material = Some(words.word(next)).filter(|word| MATERIALS.contains(word));
    next += usize::from(material.is_some());
    let service = Some(words.word(next)).filter(|word| SERVICES.contains(word))?;
    let is_of_it = |word: &str| SERVICES.contains(&word) || LED_BY.contains(&word);
    while is_of_it(words.word(next)) {
        next += 1;
    }
    let is_led = LEADS.contains(&words.word(next)) && words.word(next + 1).starts_with(char::is_alphabetic);
    is_led.then_some(ServicePipe { size_mm, material, service })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_size_and_a_water_with_a_place_are_a_pipe() {
        let named = |text: &str| service_pipe(&Words::of(text)).map(|pipe| (pipe.size_mm, pipe.material.is_some()));
        assert_eq!(named("22 mm hot to bath"), Some((22.0, false)));
        assert_eq!(named("15mm cold to basin £45"), Some((15.0, false)));
        assert_eq!(named("Run 28 hot & cold to bathroom"), Some((28.0, false)));
        assert_eq!(named("10mm plastic hot supply to basin"), Some((10.0, true)));
        for none in [
            "22 mm hot",
            "hot to bath",
            "2 hot taps to bath",
            "10 hot to bath",
            "25 mm hot to bath",
            "22 mm valve to bath",
        ] {
            assert_eq!(named(none), None, "{none}");
        }
    }
}
