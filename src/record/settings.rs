//! Owns the text of a settings file. What a person added to it, comments and keys, stays.
//! It knows nothing of the disk.

use indexmap::IndexMap;
use toml_edit::{Array, DocumentMut, InlineTable, Item, Table, Value, value};

use crate::physics::{Number, Quantity, decimal, parse_decimal, percent};
use crate::plan::{Adjuster, Dial, Plan, Reading};
use crate::session::{How, Noted, Outcome, Settled, Stated};
use crate::vocabulary::{Family, Part, unit_word};

use super::earlier::{CARRIED, Earlier};
use super::keys::{FORMAT, OURS_ONCE, SESSION, TOP_ONCE, is_unmerged, knob_key, part_key, rename};
use super::order::{put_in_order, sort};
use super::spellings;

/// All that a settings file says.
#[derive(Debug, Clone)]
pub struct Sheet<'a> {
    pub plan: &'a Plan,
    pub outcome: &'a Outcome,
    /// When the last answer was given, as a TOML date-time.
    pub saved: &'a str,
    /// The journal's path, seen from the settings file, where there is one.
    pub journal: Option<&'a str>,
    /// The settings of an earlier ride: what they say of an adjuster still holds where this ride left it.
    pub earlier: Option<&'a Earlier>,
}

/// Why an existing file is not written into.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotOurs {
    /// It is no TOML.
    NotToml,
    /// It has the marks of an unfinished merge.
    Merge,
    /// It is of a later format.
    Later(i64),
    /// It has the settings of another bike or rider.
    OtherRide,
    /// What is to be a table in it is none: its key.
    Occupied(String),
}

/// The keys of an adjuster's table that this program writes.
const OURS: [&str; 13] = [
    "value",
    "unit",
    "counted-from",
    "range",
    "start",
    "start-above-count",
    "before",
    "how",
    "sag",
    "ridden-anyway",
    "laps",
    "confirmed",
    SESSION,
];

/// The table of what was recorded.
const CONDITIONS: &str = "conditions";

/// The key under `[conditions]` that lists what was recorded.
const RECORDED: &str = "recorded";

/// The text of the settings, put into what the file holds already.
///
/// # Errors
/// Where the existing text is no TOML or belongs to another bike or rider.
pub fn write_settings(existing: Option<&str>, sheet: &Sheet<'_>) -> Result<String, NotOurs> {
    let mut document = may_take(existing, sheet.plan)?;
    rename(&mut document, &TOP_ONCE);
    let bike = sheet.plan.bike().name();
    let rider = sheet.plan.parts().rider.as_ref();
    put(&mut document, "format", Some(i64::from(FORMAT).into()));
    put(&mut document, "bike", Some(bike.into()));
    put(&mut document, "plan", Some(sheet.plan.title().into()));
    put(&mut document, "rider", rider.map(|rider| rider.name.as_str().into()));
    let weight = rider.and_then(|rider| rider.weight);
    put(&mut document, "weight", weight.map(|weight| said(weight).into()));
    put(&mut document, "saved", sheet.saved.parse::<toml_edit::Datetime>().ok().map(Value::from));
    put(&mut document, "journal", sheet.journal.map(Value::from));
    put(&mut document, "finished", Some(sheet.outcome.finished.into()));
    write_conditions(&mut document, &sheet.outcome.conditions)?;
    drop_strangers(&mut document, sheet.plan);
    let mut ours = vec![vec![CONDITIONS.to_owned()]];
    for settled in &sheet.outcome.adjusters {
        let adjuster = sheet.plan.bike().get(settled.adjuster);
        let Some(dial) = &settled.dial else { continue };
        let part = table_in(&mut document, &part_key(adjuster.part), true)?;
        let table = table_in(part, &knob_key(&adjuster.knob), false)?;
        rename(table, &OURS_ONCE);
        write_adjuster(table, dial, settled);
        carry_on(table, sheet, adjuster, dial, settled);
        sort(table, &OURS);
        ours.push(vec![part_key(adjuster.part), knob_key(&adjuster.knob)]);
    }
    put_in_order(&mut document, &ours);
    Ok(document.to_string())
}

/// An existing text as a document into which the settings of a plan's bike and rider may be written.
///
/// # Errors
/// Where the text is no TOML, of a later format, or of another bike or rider.
pub fn may_take(existing: Option<&str>, plan: &Plan) -> Result<DocumentMut, NotOurs> {
    let existing = existing.unwrap_or("");
    let text = existing.strip_prefix('\u{FEFF}').unwrap_or(existing);
    let refused = || if is_unmerged(text) { NotOurs::Merge } else { NotOurs::NotToml };
    let document: DocumentMut = text.parse().map_err(|_| refused())?;
    if document.is_empty() {
        return Ok(document);
    }
    if let Some(later) = document.get("format").and_then(Item::as_integer).filter(|it| *it > FORMAT.into()) {
        return Err(NotOurs::Later(later));
    }
    let word = |key: &str| document.get(key).and_then(Item::as_str);
    let rider = plan.rider_name();
    if word("bike") != Some(plan.bike().name()) || word("rider") != rider {
        return Err(NotOurs::OtherRide);
    }
    Ok(document)
}

/// Carries on what earlier settings say of an adjuster that nobody rode or measured for in this ride.
fn carry_on(table: &mut Table, sheet: &Sheet<'_>, adjuster: &Adjuster, dial: &Dial, settled: &Settled) {
    let ours = !matches!(settled.how, How::Set | How::Unchanged) || settled.confirmed.is_some();
    let earlier = sheet.earlier.filter(|_| !ours);
    let carried = earlier.map(|earlier| (earlier, earlier.carried(adjuster, dial, settled.at)));
    let Some((earlier, mut carried)) = carried.filter(|(_, carried)| !carried.is_empty()) else {
        table.remove(SESSION);
        return;
    };
    // a sag holds as long as all that bears on it is where it was
    let bears = |other: &&Settled| {
        let other = sheet.plan.bike().get(other.adjuster);
        other.part == adjuster.part && other.family() == Family::Spring
    };
    let stands = |other: &Settled| {
        let dial = other.dial.as_ref();
        dial.is_some_and(|dial| earlier.was_at(sheet.plan.bike().get(other.adjuster), dial, other.at))
    };
    if !sheet.outcome.adjusters.iter().filter(bears).all(stands) {
        carried.retain(|(key, _)| *key != "sag");
    }
    for key in CARRIED {
        let value = carried.iter().find(|(known, _)| *known == key).map(|(_, value)| value.clone());
        put(table, key, value);
    }
}

/// Writes the conditions of this ride. `recorded` lists them, so that the next ride knows which of the
/// keys are the program's and which a person's.
fn write_conditions(document: &mut DocumentMut, conditions: &IndexMap<String, Noted>) -> Result<(), NotOurs> {
    let earlier: Vec<String> = document
        .get(CONDITIONS)
        .and_then(|table| table.get(RECORDED))
        .and_then(Item::as_array)
        .map(|names| names.iter().filter_map(Value::as_str).map(str::to_owned).collect())
        .unwrap_or_default();
    if conditions.is_empty() && earlier.is_empty() {
        return Ok(());
    }
    let table = table_in(document, CONDITIONS, false)?;
    for name in &earlier {
        if !conditions.contains_key(name) {
            table.remove(name);
        }
    }
    for (name, noted) in conditions {
        put(table, name, Some(noted_value(noted)));
    }
    let names: Array = conditions.keys().map(String::as_str).collect();
    put(table, RECORDED, (!names.is_empty()).then(|| Value::Array(names)));
    let order: Vec<&str> = conditions.keys().map(String::as_str).chain([RECORDED]).collect();
    sort(table, &order);
    if table.is_empty() {
        document.remove(CONDITIONS);
    }
    Ok(())
}

fn said(quantity: Quantity) -> String {
    format!("{} {}", quantity.unit.figure(quantity.number), unit_word(quantity.unit))
}

/// Puts a value in place, keeping the comments around the old one; or takes the key out.
fn put(table: &mut Table, key: &str, new: Option<Value>) {
    let Some(mut new) = new else {
        table.remove(key);
        return;
    };
    match table.get_mut(key).and_then(Item::as_value_mut) {
        Some(old) => {
            *new.decor_mut() = old.decor().clone();
            *old = new;
        }
        None => {
            table.insert(key, value(new));
        }
    }
}

/// The table of a key, made where there is none; one written in a line becomes a table of lines.
fn table_in<'a>(table: &'a mut Table, key: &str, implicit: bool) -> Result<&'a mut Table, NotOurs> {
    let item = table.entry(key).or_insert(Item::None);
    if let Some(inline) = item.as_inline_table() {
        *item = Item::Table(inline.clone().into_table());
    }
    if item.is_none() {
        let mut fresh = Table::new();
        fresh.set_implicit(implicit);
        *item = Item::Table(fresh);
    }
    item.as_table_mut().ok_or_else(|| NotOurs::Occupied(key.to_owned()))
}

fn number_value(number: Number) -> Value {
    let text = decimal(number);
    if parse_decimal(&text) != Some(number) {
        return Value::from(crate::physics::mixed(number));
    }
    match text.parse::<i64>() {
        Ok(whole) => Value::from(whole),
        Err(_) => text.parse::<f64>().map_or_else(|_| Value::from(text.as_str()), Value::from),
    }
}

fn noted_value(noted: &Noted) -> Value {
    match noted {
        Noted::Text(text) => Value::from(text.as_str()),
        Noted::Unknown => Value::from("unknown"),
        Noted::Quantity(quantity) => {
            let mut table = InlineTable::new();
            table.insert("value", number_value(quantity.number));
            table.insert("unit", unit_word(quantity.unit).into());
            Value::InlineTable(table)
        }
    }
}

fn reading_value(reading: Reading<'_>) -> Value {
    match reading {
        Reading::Value(number, _) => number_value(number),
        Reading::Name(name) => Value::from(name),
    }
}

fn write_adjuster(table: &mut Table, dial: &Dial, settled: &Settled) {
    let scale = dial.scale();
    put(table, "value", Some(reading_value(scale.reading(settled.at))));
    put(table, "unit", scale.unit().map(|unit| unit_word(unit).into()));
    put(table, "counted-from", scale.counted().map(|end| end.word().into()));
    put(table, "range", Some(range_value(dial)));
    put(table, "start", Some(reading_value(scale.reading(dial.start()))));
    put(table, "start-above-count", settled.start_cut.then(|| true.into()));
    let before = settled.before.as_ref().map(|told| match told {
        Stated::Value(number, _) => number_value(*number),
        Stated::Name(name) => Value::from(name.as_str()),
    });
    put(table, "before", before);
    put(table, "how", Some(spellings::how(settled.how).into()));
    put(table, "sag", settled.sag.map(|(sag, travel)| sag_value(sag, travel)));
    put(table, "ridden-anyway", settled.ridden_anyway.then(|| true.into()));
    let laps: Array = settled.laps.iter().map(|&lap| i64::from(lap)).collect();
    put(table, "laps", (!laps.is_empty()).then(|| Value::Array(laps)));
    let confirmed = settled
        .confirmed
        .map(|(better, pairs)| Value::Array([better, pairs].into_iter().map(i64::from).collect()));
    put(table, "confirmed", confirmed);
}

/// A sag in mm, and in percent to a tenth where the travel is known.
fn sag_value(sag: Number, travel: Option<Number>) -> Value {
    let mut table = InlineTable::new();
    table.insert("mm", number_value(sag));
    if let Some(share) = travel.and_then(|travel| percent(sag, travel)) {
        table.insert("percent", number_value(share));
    }
    Value::InlineTable(table)
}

/// Both ends as they are counted, the lower number first; or every listed value, every name.
fn range_value(dial: &Dial) -> Value {
    let scale = dial.scale();
    let mut range = Array::new();
    if scale.is_list() {
        range.extend((0..=scale.top()).map(|position| reading_value(scale.reading(position))));
    } else if scale.all_names().is_empty() {
        let (mut first, mut last) = (scale.reading(0), scale.reading(scale.top()));
        if let (Reading::Value(low, _), Reading::Value(high, _)) = (first, last)
            && low > high
        {
            std::mem::swap(&mut first, &mut last);
        }
        range.push(reading_value(first));
        range.push(reading_value(last));
    } else {
        range.extend(scale.all_names().iter().map(String::as_str));
    }
    Value::Array(range)
}

/// Takes out the adjusters that this program wrote once and the bike no longer has; what a person
/// added to them stays.
fn drop_strangers(document: &mut DocumentMut, plan: &Plan) {
    for part in [Part::Fork, Part::Shock, Part::FrontTyre, Part::RearTyre] {
        let Some(table) = document.get_mut(&part_key(part)).and_then(Item::as_table_mut) else { continue };
        let fitted: Vec<String> = plan
            .bike()
            .ids()
            .map(|id| plan.bike().get(id))
            .filter(|adjuster| adjuster.part == part)
            .map(|adjuster| knob_key(&adjuster.knob))
            .collect();
        let strangers: Vec<String> = table
            .iter()
            .filter(|(key, item)| !fitted.iter().any(|knob| knob == key) && item.get("how").is_some())
            .map(|(key, _)| key.to_owned())
            .collect();
        for key in strangers {
            let Some(stranger) = table.get_mut(&key).and_then(Item::as_table_mut) else { continue };
            rename(stranger, &OURS_ONCE);
            for ours in OURS {
                stranger.remove(ours);
            }
            if stranger.is_empty() {
                table.remove(&key);
            }
        }
    }
}
