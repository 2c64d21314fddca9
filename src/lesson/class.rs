//! A class: names from a CSV, and for each a number that chance starts from, made from the name and the class's own.

use crate::num::seed_of;

/// A learner, and where chance starts for the learner's exercise.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Learner {
    /// The name; empty when there is none.
    pub name: String,
    /// The number of the exercise, which the whole class has.
    pub class_seed: u64,
    /// The number that chance starts from.
    pub seed: u64,
}

impl Learner {
    /// Somebody without a name gets the class's own number.
    #[must_use]
    pub fn new(class_seed: u64, name: &str) -> Self {
        let name = name.trim();
        let folded: String = name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
        let seed = if name.is_empty() { class_seed } else { seed_of(class_seed, &folded) };
        Self { name: name.to_owned(), class_seed, seed }
    }
}

/// The learners of a class: the column `name` or `learner` of a CSV, or the first one when there is no such heading.
///
/// # Errors
/// What is wrong, with the line.
pub fn class_of(text: &str, class_seed: u64) -> Result<Vec<Learner>, String> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
    let mut column = None;
    let mut learners: Vec<Learner> = Vec::new();
    for (number, record) in reader.records().enumerate() {
        let record = record.map_err(|error| format!("line {}: {error}", number + 1))?;
        if number == 0 {
            column = record.iter().position(|cell| ["name", "learner"].contains(&cell.trim().to_lowercase().as_str()));
            if column.is_some() {
                continue;
            }
        }
        let learner = Learner::new(class_seed, record.get(column.unwrap_or(0)).unwrap_or_default());
        if learner.name.is_empty() {
            continue;
        }
        if learners.iter().any(|other| other.seed == learner.seed) {
            let name = &learner.name;
            return Err(format!("line {}: '{name}' stands twice; tell the two apart by another letter", number + 1));
        }
        learners.push(learner);
    }
    if learners.is_empty() {
        return Err("there is no name in it; write one name a line, below the heading 'name'".to_owned());
    }
    Ok(learners)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_read_with_and_without_a_heading() {
        let names = |text: &str| -> Vec<String> {
            class_of(text, 7).expect("names").into_iter().map(|learner| learner.name).collect()
        };
        assert_eq!(names("group,Name\nA,Ines Okoro\nA,\"Brand, Tom\"\n\n"), ["Ines Okoro", "Brand, Tom"]);
        assert_eq!(names("Ines Okoro\nTom Brand\n"), ["Ines Okoro", "Tom Brand"]);
        assert!(class_of("name\n", 7).expect_err("nobody").contains("no name"));
        assert!(class_of("Ines\nines\n", 7).expect_err("twice").starts_with("line 2"));
    }

    #[test]
    fn each_learner_has_a_seed_that_hangs_on_class_and_name_alone() {
        assert_eq!(Learner::new(7, "Ines  Okoro ").seed, Learner::new(7, "ines okoro").seed);
        assert_ne!(Learner::new(7, "Ines Okoro").seed, Learner::new(8, "Ines Okoro").seed);
        assert_eq!(Learner::new(7, "").seed, 7);
    }
}
