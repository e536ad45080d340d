//! Owns the order of a settings file: the program's keys and tables in theirs, a person's own behind
//! them as they stood. So the same settings give the same file, whatever stood there before.

use toml_edit::{DocumentMut, Item, Table};

/// The keys at the top of the file, in their order.
const TOP: [&str; 8] = ["format", "bike", "plan", "rider", "weight", "saved", "journal", "finished"];

/// Puts a document in order. `ours` are the paths of the program's tables, in their order.
pub(super) fn put_in_order(document: &mut DocumentMut, ours: &[Vec<String>]) {
    sort(document, &TOP);
    let rank = |path: &[String]| ours.iter().position(|known| known == path).unwrap_or(ours.len());
    let mut places: Vec<(usize, isize, usize)> = Vec::new();
    each_table(document, &mut Vec::new(), &mut |path, table| {
        places.push((rank(path), table.position().unwrap_or(isize::MAX), places.len()));
    });
    places.sort_unstable();
    let mut position = vec![0; places.len()];
    for (place, (_, _, seen)) in places.into_iter().enumerate() {
        position[seen] = isize::try_from(place).unwrap_or(isize::MAX);
    }
    let mut seen = 0;
    each_table(document, &mut Vec::new(), &mut |_, table| {
        table.set_position(Some(position[seen]));
        seen += 1;
    });
}

/// Sorts the keys of a table: these first, all others behind them as they stood.
pub(super) fn sort(table: &mut Table, first: &[&str]) {
    let rank = |key: &str| first.iter().position(|known| *known == key).unwrap_or(first.len());
    table.sort_values_by(|one, _, other, _| rank(one.get()).cmp(&rank(other.get())));
}

/// Every table below one, in the order in which they are kept, with its path.
fn each_table(table: &mut Table, path: &mut Vec<String>, visit: &mut impl FnMut(&[String], &mut Table)) {
    for (key, item) in table.iter_mut() {
        path.push(key.get().to_owned());
        match item {
            Item::Table(inner) => {
                visit(path, inner);
                each_table(inner, path, visit);
            }
            Item::ArrayOfTables(several) => {
                for inner in several.iter_mut() {
                    visit(path, inner);
                    each_table(inner, path, visit);
                }
            }
            Item::None | Item::Value(_) => {}
        }
        path.pop();
    }
}
