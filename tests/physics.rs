//! Our units, air and springs against libraries that are not ours, run at test time. The scripts that
//! run them stand in `tests/outside/`, its README lists them with their standing.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

use clickwise::physics::{
    Quantity, SagReading, Unit, next_gauge_pressure, parse_decimal, pascals_at, secant, warmed,
};
use clickwise::vocabulary::{unit_named, unit_word};

use crate::support::project;

/// The Python that has the libraries. Installs them where they are missing, once for all tests.
pub fn python() -> &'static Path {
    static PYTHON: OnceLock<PathBuf> = OnceLock::new();
    PYTHON.get_or_init(|| {
        let target = Path::new(env!("CARGO_TARGET_TMPDIR")).parent().unwrap();
        let script = project().join("tests/outside/install.py");
        said(Command::new("python3").arg(script).arg(target)).trim().into()
    })
}

/// What a command prints; it must succeed.
pub fn said(command: &mut Command) -> String {
    let output = command.output().expect("Python runs");
    let (out, err) = (String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
    assert!(output.status.success(), "{command:?}:\n{out}\n{err}");
    out.into_owned()
}

/// The words of each line that a script prints.
fn lines(script: &str) -> Vec<Vec<String>> {
    let text = said(Command::new(python()).arg(project().join("tests/outside").join(script)));
    text.lines().map(|line| line.split(' ').map(str::to_owned).collect()).collect()
}

/// The numbers of each line that a script prints.
fn numbers(script: &str) -> Vec<Vec<f64>> {
    let number = |word: String| word.parse().unwrap_or_else(|_| panic!("{script}: {word}"));
    lines(script).into_iter().map(|words| words.into_iter().map(number).collect()).collect()
}

/// How far a value is off, as a share of what it should be.
fn off(value: f64, expected: f64) -> f64 {
    (value / expected - 1.0).abs()
}

#[test]
fn every_conversion_is_that_of_pint() {
    let mut seen = BTreeSet::new();
    for line in lines("units.py") {
        let [number, from, expected, to] = &line[..] else { panic!("{line:?}") };
        let unit = |word: &String| unit_named(word).unwrap_or_else(|| panic!("{word}"));
        let amount = Quantity { number: parse_decimal(number).unwrap(), unit: unit(from) };
        let (found, expected) =
            (amount.float_in(unit(to)).unwrap(), expected.parse::<f64>().unwrap_or(f64::NAN));
        // half of the billionth to which pressures and rates are rounded, and the floats' own error
        let tolerance = 0.6e-9 + 1e-12 * expected.abs();
        assert!((found - expected).abs() <= tolerance, "{number} {from}: {found}, pint {expected} {to}");
        seen.insert((from.clone(), to.clone()));
    }
    let mut ours = BTreeSet::new();
    for from in Unit::ALL {
        let one = Quantity { number: parse_decimal("1").unwrap(), unit: from };
        for to in Unit::ALL.into_iter().filter(|to| *to != from && one.in_unit(*to).is_some()) {
            ours.insert((unit_word(from).to_owned(), unit_word(to).to_owned()));
        }
    }
    assert_eq!(seen, ours, "conversions that pint was asked for, and ours");
}

#[test]
fn the_atmosphere_is_that_of_ambiance() {
    let rows = numbers("atmosphere.py");
    assert!(rows.len() > 200);
    for row in rows {
        let found = pascals_at(row[0]).unwrap();
        // ambiance has the atmosphere of 1993, whose constant of air is 287.05287 J/(kg K) where that of 1976
        // comes to 287.05307: 1e-6 of the pressure at the top
        assert!(off(found, row[1]) <= 1.5e-6, "{} m: {found} Pa, ambiance {}", row[0], row[1]);
    }
}

#[test]
fn air_in_a_chamber_is_near_enough_to_real_air() {
    let mut lines = lines("air.py").into_iter();
    // Source: CoolProp 8, computed with it: Z of 20 bar and 20 C is 0.9936, which says what "ideal" neglects.
    let first = lines.next().unwrap();
    assert_eq!(first[0], "Z");
    assert!((first[1].parse::<f64>().unwrap() - 0.9936).abs() <= 1e-4, "{first:?}");
    let (mut worst, mut worst_from_20) = (0.0_f64, 0.0_f64);
    for line in lines {
        let row: Vec<f64> = line.iter().map(|word| word.parse().unwrap()).collect();
        let error = off(warmed(row[0], row[1], row[2]).unwrap(), row[3]);
        worst = worst.max(error);
        if (row[1] - 20.0).abs() < 1e-9 {
            worst_from_20 = worst_from_20.max(error);
        }
    }
    // What the law neglects is seen, and it is small: up to 20 bar, from -10 to 40 C.
    assert!((0.001..=0.006).contains(&worst_from_20), "filled at 20 C: {worst_from_20}");
    assert!((0.006..=0.010).contains(&worst), "filled at any of these: {worst}");
}

#[test]
fn the_next_pressure_is_that_of_another_implementation() {
    let rows = numbers("sag.py");
    assert_eq!(rows.len(), 500);
    let mut slopes = BTreeSet::new();
    for row in rows {
        let [aim, measured_to, slope, gauge, rest @ ..] = &row[..] else { panic!("{row:?}") };
        let readings: Vec<SagReading> =
            rest.chunks(2).map(|pair| SagReading { gauge: pair[0], sag: pair[1] }).collect();
        let ours = secant(&readings, *measured_to).unwrap().slope;
        assert!(off(ours, *slope) <= 1e-9, "{row:?}: slope {ours}");
        let next = next_gauge_pressure(&readings, *aim, *measured_to).unwrap();
        assert!(off(next, *gauge) <= 1e-8, "{row:?}: {next}");
        slopes.insert(format!("{ours:.2}"));
    }
    // the drawn rides reach both bounds of the slope and much between them
    assert!(slopes.contains("0.15") && slopes.contains("1.50") && slopes.len() > 20, "{slopes:?}");
}
