//! What the methods do with simulated riders, as a smoke test of the benchmark of the same name: fewer
//! rides, wider bounds.

use std::collections::BTreeMap;

use crate::tables::{Cell, ROWS, TOPS, cell};

/// Rides a cell.
const RIDES: u64 = 20_000;

/// The numbers of positions that are tried here of the methods that reckon much: one of each width of
/// step.
const FEW: [u32; 2] = [6, 20];

#[test]
fn laps_and_shares_are_those_of_the_design() {
    let mut wrong = Vec::new();
    let mut cells = 0;
    let mut measured = BTreeMap::new();
    for row in ROWS {
        let reckons = row.plan.contains("narrow");
        for (top, laps, share) in row.cells().filter(|(top, ..)| !reckons || FEW.contains(top)) {
            let cell = cell(row, top, RIDES);
            cells += 1;
            measured.insert((row.name, top), cell);
            if (cell.laps / laps - 1.0).abs() > 0.02 || (cell.share - share).abs() > 0.02 {
                wrong.push(format!("{}, N {top}: {cell:?}, not {laps} and {share}", row.name));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    cheaper_and_no_worse(&measured);
    assert_eq!(cells, 3 * (TOPS.len() - 1) + 2 * TOPS.len() + 5 * FEW.len());
}

/// Crossing out and quick narrowing take fewer laps than the bracket and end as near to the best.
fn cheaper_and_no_worse(measured: &BTreeMap<(&str, u32), Cell>) {
    let mut compared = 0;
    for (name, top, most) in [
        ("cross-out", 10, 0.50),
        ("cross-out", 14, 0.76),
        ("cross-out", 20, 0.76),
        ("cross-out", 30, 0.76),
        ("narrow, quick", 10, 0.76),
        ("narrow, quick", 14, 0.76),
        ("narrow, quick", 20, 0.76),
        ("narrow, quick", 30, 0.76),
    ] {
        let Some(cell) = measured.get(&(name, top)) else { continue };
        let bracket = measured[&("bracket", top)];
        assert!(cell.laps / bracket.laps <= most, "{name} {top}: {cell:?} {bracket:?}");
        // of 20,000 rides a share is known to less than a hundredth
        assert!(cell.share >= bracket.share - 0.005, "{name} {top}: {cell:?} {bracket:?}");
        compared += 1;
    }
    assert!(compared >= 5);
}
