//! What the methods do with simulated riders, as a smoke test of the benchmark of the same name: fewer
//! rides, wider bounds.

use crate::tables::{ROWS, TOPS, cell};

/// Rides a cell.
const RIDES: u64 = 20_000;

/// The numbers of positions that are tried here of the methods that reckon much: one of each width of
/// step.
const FEW: [u32; 2] = [6, 20];

#[test]
fn laps_and_shares_are_those_of_the_design() {
    let mut wrong = Vec::new();
    let mut cells = 0;
    for row in ROWS {
        let reckons = row.plan.contains("narrow");
        for (top, laps, share) in row.cells().filter(|(top, ..)| !reckons || FEW.contains(top)) {
            let cell = cell(row, top, RIDES);
            cells += 1;
            if (cell.laps / laps - 1.0).abs() > 0.02 || (cell.share - share).abs() > 0.02 {
                wrong.push(format!("{}, N {top}: {cell:?}, not {laps} and {share}", row.name));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!(cells, 3 * (TOPS.len() - 1) + 2 * TOPS.len() + 5 * FEW.len());
}
