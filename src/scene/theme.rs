//! Themes: what each role of colour looks like, and how heavy lines are.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

use super::Ink;

static LIGHT: LazyLock<Theme> = LazyLock::new(|| shipped(include_str!("../../assets/theme_light.ron")));
static DARK: LazyLock<Theme> = LazyLock::new(|| shipped(include_str!("../../assets/theme_dark.ron")));

/// A colour, as in "#1b6fa8".
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Colour {
    /// Red.
    pub red: u8,
    /// Green.
    pub green: u8,
    /// Blue.
    pub blue: u8,
}

/// What the roles of colour look like.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Theme {
    /// Its name, as it is offered.
    pub name: String,
    /// By how much pen widths are multiplied.
    pub line_weight: f64,
    inks: Vec<(Ink, Colour)>,
}

impl Theme {
    /// Ink on white paper.
    #[must_use]
    pub fn light() -> &'static Self {
        &LIGHT
    }

    /// Chalk on a dark board, for the evening.
    #[must_use]
    pub fn dark() -> &'static Self {
        &DARK
    }

    /// The colour of a role.
    #[must_use]
    pub fn colour(&self, ink: Ink) -> Colour {
        let found = self.inks.iter().find(|(role, _)| *role == ink);
        found.map_or(Colour { red: 0, green: 0, blue: 0 }, |(_, colour)| *colour)
    }
}

/// What the tests hold the themes to.
#[cfg(test)]
impl Colour {
    /// Ratio of the lighter to the darker of two colours as seen (WCAG 2.2, relative luminance and contrast ratio).
    pub(crate) fn contrast(self, other: Self) -> f64 {
        let (a, b) = (self.luminance(), other.luminance());
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    fn luminance(self) -> f64 {
        let linear = |part: u8| {
            let share = f64::from(part) / 255.0;
            if share <= 0.04045 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * linear(self.red) + 0.7152 * linear(self.green) + 0.0722 * linear(self.blue)
    }
}

impl std::fmt::Display for Colour {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "#{:02x}{:02x}{:02x}", self.red, self.green, self.blue)
    }
}

impl From<Colour> for String {
    fn from(colour: Colour) -> Self {
        colour.to_string()
    }
}

impl TryFrom<String> for Colour {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        let wrong = || format!("'{text}' is not a colour; write six hexadecimal digits after a #, such as #1b6fa8");
        let digits =
            text.strip_prefix('#').filter(|digits| digits.len() == 6 && digits.is_ascii()).ok_or_else(wrong)?;
        let part = |at: usize| u8::from_str_radix(&digits[at..at + 2], 16).map_err(|_| wrong());
        Ok(Self { red: part(0)?, green: part(2)?, blue: part(4)? })
    }
}

/// Reads a theme that ships inside the program.
fn shipped(text: &str) -> Theme {
    ron::from_str(text).unwrap_or_else(|error| panic!("a shipped theme cannot be read: {error}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_role_has_a_colour_in_every_theme() {
        for theme in [Theme::light(), Theme::dark()] {
            for ink in Ink::ALL {
                let entries = theme.inks.iter().filter(|(role, _)| *role == ink).count();
                assert_eq!(entries, 1, "{ink:?} in {}", theme.name);
            }
        }
    }

    /// WCAG 2.2, success criterion 1.4.3 (AA): words at least 4.5:1 against what they stand on.
    #[test]
    fn words_stand_out_from_the_paper() {
        let words = [
            Ink::Ink,
            Ink::RedPencil,
            Ink::GreyPencil,
            Ink::ColdPipe,
            Ink::HotPipe,
            Ink::PrimaryPipe,
            Ink::MainsPipe,
            Ink::OpenPipe,
        ];
        for theme in [Theme::light(), Theme::dark()] {
            for ink in words {
                let ratio = theme.colour(ink).contrast(theme.colour(Ink::Paper));
                assert!(ratio >= 4.5, "{ink:?} on paper in {}: {ratio:.2}", theme.name);
            }
            for ground in [Ink::Water, Ink::HotWater] {
                let ratio = theme.colour(Ink::Ink).contrast(theme.colour(ground));
                assert!(ratio >= 4.5, "names on {ground:?} in {}: {ratio:.2}", theme.name);
            }
        }
    }

    #[test]
    fn contrast_is_reckoned_as_published() {
        let black = Colour { red: 0, green: 0, blue: 0 };
        let white = Colour { red: 255, green: 255, blue: 255 };
        assert!((black.contrast(white) - 21.0).abs() < 1e-9);
        assert!(Colour::try_from("#12345".to_owned()).is_err());
        assert_eq!(Colour::try_from("#1b6fa8".to_owned()).map(String::from), Ok("#1b6fa8".to_owned()));
    }
}
