//! `sum`: one formula on its own, with its working.

use std::ffi::OsString;

use clap::{Arg, ArgMatches, value_parser};
use serde::Serialize;

use super::page::{Page, harmless, paragraph};
use super::{Command, EXIT_SOUND, EXIT_UNUSABLE, arguments};
use crate::spelling::did_you_mean;
use crate::sum::{Given, Output, Reckoned, Sum, sum, table};

pub(super) const COMMAND: Command =
    Command { name: "sum", about: "Does one sum and shows its working, or lists the sums", arguments, run };

fn arguments() -> Vec<Arg> {
    vec![
        arguments::json(),
        Arg::new("SUM")
            .num_args(0..)
            .trailing_var_arg(true)
            .allow_hyphen_values(true)
            .value_parser(value_parser!(OsString))
            .value_name("NAME [--INPUT VALUE ...] [--json]")
            .help("The sum and its inputs: vent-rise --height 3.2; the name alone tells what it needs, or takes what is usual"),
    ]
}

fn run(matches: &ArgMatches, page: &mut Page<'_>) -> u8 {
    let words = matches.get_many::<OsString>("SUM").into_iter().flatten();
    let mut words: Vec<String> = words.map(|word| word.to_string_lossy().into_owned()).collect();
    let asked_as_json = words.iter().any(|word| word == "--json");
    words.retain(|word| word != "--json");
    let as_json = matches.get_flag("json") || asked_as_json;
    let Some((name, inputs)) = words.split_first() else {
        let listed = if as_json { needs_json } else { listed };
        table().iter().for_each(|sum| page.print(&listed(sum)));
        return EXIT_SOUND;
    };
    let Some(found) = sum(name) else {
        page.complain(&unknown(name));
        return EXIT_UNUSABLE;
    };
    if inputs.is_empty() && found.inputs.iter().any(|input| input.usual.is_none()) {
        page.print(&if as_json { needs_json(found) } else { needs(found) });
        return EXIT_SOUND;
    }
    match reckoned(found, inputs) {
        Ok((given, result)) => {
            page.print(&if as_json { json(found, &given, &result) } else { text(found, &given, &result) });
            EXIT_SOUND
        }
        Err(complaint) => page.unusable(&complaint),
    }
}

fn reckoned(sum: &Sum, inputs: &[String]) -> Result<(Given, Reckoned), String> {
    let given = Given::typed(sum, &pairs(inputs)?).map_err(|error| error.to_string())?;
    let result = (sum.reckon)(&given).map_err(|error| error.to_string())?;
    Ok((given, result))
}

/// `--height 3.2` or `--height=3.2`, again and again.
fn pairs(words: &[String]) -> Result<Vec<(String, String)>, String> {
    let mut pairs = Vec::new();
    let mut words = words.iter();
    while let Some(word) = words.next() {
        let Some(name) = word.strip_prefix("--") else {
            return Err(format!("'{}' stands alone; inputs are given as --NAME VALUE", harmless(word)));
        };
        match name.split_once('=') {
            Some((name, value)) => pairs.push((name.to_owned(), value.to_owned())),
            None => {
                let value = words.next().ok_or_else(|| format!("--{} has no value after it", harmless(name)))?;
                pairs.push((name.to_owned(), value.clone()));
            }
        }
    }
    Ok(pairs)
}

/// A sum in one line.
fn listed(sum: &Sum) -> String {
    format!("{:22}{}\n", sum.name, sum.title)
}

/// What a sum needs, as one JSON object.
fn needs_json(sum: &Sum) -> String {
    let report = NeedsReport {
        sum: sum.name,
        title: sum.title,
        inputs: sum.inputs.iter().map(InputReport::of).collect(),
        source: sum.authority(),
    };
    serde_json::to_string(&report).expect("a sum holds words and numbers only") + "\n"
}

/// What a sum needs.
fn needs(sum: &Sum) -> String {
    let mut text = format!("{}: {}\n", sum.name, sum.title);
    for input in sum.inputs {
        let usual = input.usual.map_or_else(String::new, |usual| format!("; {usual} when not given"));
        let (least, greatest, sign) = (input.least, input.greatest, input.quantity.sign());
        let range = format!("{}, {least} to {greatest} {sign}{usual}", input.words);
        text.push_str(&paragraph(&format!("  --{:14} ", input.name), &range));
    }
    text + &paragraph("  Source: ", &sum.authority())
}

fn text(sum: &Sum, given: &Given, result: &Reckoned) -> String {
    let mut text = format!("{}: {}\n", sum.name, sum.title);
    for line in &result.working {
        text.push_str(&format!("  {line}\n"));
    }
    for Output { name, value, unit } in &result.outputs {
        let line = format!("  {name}: {} {unit}", rounded(*value));
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text + &assumed(sum, given) + &paragraph("  Source: ", &sum.authority())
}

/// The inputs that nobody has given, with the usual values that are taken for them; nothing where all are given.
fn assumed(sum: &Sum, given: &Given) -> String {
    let assumed = sum.inputs.iter().filter(|input| given.is_assumed(input.name));
    let with_values = assumed.map(|input| format!("--{} {}", input.name, input.quantity.words(given.get(input.name))));
    let list = with_values.collect::<Vec<_>>().join(", ");
    if list.is_empty() { list } else { paragraph("  Not given, so taken as usual: ", &list) }
}

/// Five figures, which is more than any input is good for.
fn rounded(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    // Between -300 and 300 for any finite number.
    #[expect(clippy::cast_possible_truncation, reason = "the logarithm of a finite number is a small one")]
    let magnitude = value.abs().log10().floor() as i32;
    let decimals = usize::try_from((4 - magnitude).clamp(0, 12)).unwrap_or(0);
    format!("{value:.decimals$}")
}

#[derive(Serialize)]
struct NeedsReport {
    sum: &'static str,
    title: &'static str,
    inputs: Vec<InputReport>,
    source: String,
}

#[derive(Serialize)]
struct InputReport {
    name: &'static str,
    words: &'static str,
    unit: &'static str,
    usual: Option<f64>,
    least: f64,
    greatest: f64,
}

impl InputReport {
    const fn of(input: &crate::sum::Input) -> Self {
        Self {
            name: input.name,
            words: input.words,
            unit: input.quantity.sign(),
            usual: input.usual,
            least: input.least,
            greatest: input.greatest,
        }
    }
}

fn json(sum: &Sum, given: &Given, result: &Reckoned) -> String {
    let value = |value: f64, unit: &str| serde_json::json!({ "value": value, "unit": unit });
    let inputs: serde_json::Map<String, serde_json::Value> = (sum.inputs.iter())
        .map(|input| (input.name.to_owned(), value(given.get(input.name), input.quantity.sign())))
        .collect();
    let outputs: serde_json::Map<String, serde_json::Value> =
        result.outputs.iter().map(|output| (output.name.to_owned(), value(output.value, output.unit))).collect();
    let report = serde_json::json!({
        "sum": sum.name, "inputs": inputs, "outputs": outputs, "working": result.working, "source": sum.authority(),
    });
    report.to_string() + "\n"
}

fn unknown(name: &str) -> String {
    let meant = did_you_mean(name, table().iter().map(|sum| sum.name))
        .unwrap_or_else(|| "'loftwright sum' lists them all".to_owned());
    format!("there is no sum '{}'; {meant}\n", harmless(name))
}
