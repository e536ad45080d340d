//! Owns the bike as it is known so far, and the file that it makes. How a file is laid out is `layout`'s.
//! It knows nothing of what is still to be asked or of what is right.

use crate::language::parse;
use crate::layout::format;
use crate::problem::Sources;
use crate::vocabulary::{Heading, Knob, Part};

use super::reading;

/// One line of a part: its words and what they say.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Row {
    words: String,
    says: String,
    remark: Option<String>,
}

/// An adjuster of a part; what its line says may still be to come.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Fitted {
    knob: Knob,
    says: Option<String>,
    remark: Option<String>,
}

/// A part of the bike.
#[derive(Debug, Clone, PartialEq, Eq)]
struct PartDraft {
    part: Part,
    /// How far it can move: the entry's word, the amount, a remark.
    travel: Option<Row>,
    fitted: Vec<Fitted>,
}

/// A bike as it is known so far.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Draft {
    pub name: Option<String>,
    parts: Vec<PartDraft>,
}

impl Draft {
    fn part(&mut self, part: Part) -> &mut PartDraft {
        let place = self.parts.partition_point(|known| known.part < part);
        if self.parts.get(place).is_none_or(|known| known.part != part) {
            self.parts.insert(place, PartDraft { part, travel: None, fitted: Vec::new() });
        }
        &mut self.parts[place]
    }

    fn find(&self, part: Part, knob: &Knob) -> Option<&Fitted> {
        let known = self.parts.iter().find(|known| known.part == part)?;
        known.fitted.iter().find(|fitted| fitted.knob == *knob)
    }

    /// What an adjuster's line says, where that is known.
    pub fn says(&self, part: Part, knob: &Knob) -> Option<&str> {
        self.find(part, knob)?.says.as_deref()
    }

    /// Whether it is known how far a part can move.
    pub fn has_travel(&self, part: Part) -> bool {
        self.parts.iter().any(|known| known.part == part && known.travel.is_some())
    }

    /// Sets how far a part can move.
    pub fn set_travel(&mut self, part: Part, word: &str, says: String, remark: Option<String>) {
        self.part(part).travel = Some(Row { words: word.to_owned(), says, remark });
    }

    /// Adds an adjuster, as often as it is named.
    pub fn add(&mut self, part: Part, knob: Knob, says: Option<String>) {
        self.part(part).fitted.push(Fitted { knob, says, remark: None });
    }

    /// Sets what an adjuster's line says, adding the adjuster where it is not there yet.
    pub fn set(&mut self, part: Part, knob: &Knob, says: String) {
        match self.part(part).fitted.iter_mut().find(|fitted| fitted.knob == *knob) {
            Some(fitted) => fitted.says = Some(says),
            None => self.add(part, knob.clone(), Some(says)),
        }
    }

    /// Adds a remark to an adjuster's line.
    pub fn remark(&mut self, part: Part, knob: &Knob, remark: Option<String>) {
        let fitted = self.part(part).fitted.iter_mut().find(|fitted| fitted.knob == *knob);
        if let (Some(fitted), Some(remark)) = (fitted, remark) {
            fitted.remark =
                Some(fitted.remark.take().map_or(remark.clone(), |old| format!("{old} {remark}")));
        }
    }

    /// Leaves an adjuster out.
    pub fn leave_out(&mut self, part: Part, knob: &Knob) {
        self.part(part).fitted.retain(|fitted| fitted.knob != *knob);
    }

    /// Every adjuster whose line is known.
    pub fn known(&self) -> Vec<(Part, Knob)> {
        let of_part = |known: &PartDraft| {
            let part = known.part;
            let told = known.fitted.iter().filter(|fitted| fitted.says.is_some());
            told.map(|fitted| (part, fitted.knob.clone())).collect::<Vec<_>>()
        };
        self.parts.iter().flat_map(of_part).collect()
    }

    /// The same bike with an example wherever a line is still to come.
    pub fn with_examples(&self) -> Draft {
        let mut draft = self.clone();
        for fitted in draft.parts.iter_mut().flat_map(|known| &mut known.fitted) {
            fitted.says.get_or_insert_with(|| fitted.knob.example().to_owned());
        }
        draft
    }

    /// A bike of this one part with this one adjuster.
    pub fn alone(&self, part: Part, knob: &Knob) -> Draft {
        let mut draft = Draft { name: self.name.clone(), parts: self.parts.clone() };
        draft.parts.retain(|known| known.part == part);
        draft.parts.iter_mut().for_each(|known| known.fitted.retain(|fitted| fitted.knob == *knob));
        draft
    }

    /// The bike file in the one layout; empty where the bike has no name yet.
    pub fn text(&self) -> String {
        let Some(name) = &self.name else { return String::new() };
        let mut text = format!("{} \"{name}\"\n", Heading::Bike.row().word);
        for known in &self.parts {
            let rows: Vec<Row> =
                known.travel.iter().cloned().chain(known.fitted.iter().filter_map(row)).collect();
            if rows.is_empty() {
                continue;
            }
            text += &format!("\n{} {}\n", Heading::Part.row().word, known.part);
            for row in rows {
                let remark = row.remark.map_or(String::new(), |remark| format!("  {remark}"));
                text += &format!("{} {}{remark}\n", row.words, row.says);
            }
        }
        let mut sources = Sources::default();
        let source = sources.add("", text.as_str());
        format(&parse(source, &text).0, &text)
    }
}

fn row(fitted: &Fitted) -> Option<Row> {
    Some(Row {
        words: reading::words(&fitted.knob),
        says: fitted.says.clone()?,
        remark: fitted.remark.clone(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bike_stands_in_the_one_layout() {
        let mut draft = Draft { name: Some("B".to_owned()), ..Draft::default() };
        draft.set_travel(Part::Fork, "travel", "150 mm".to_owned(), None);
        let rows = "44 to 120 psi, sag 18 to 22 %, start 62 psi at 60 kg, 75 psi at 75 kg, 88 psi at 90 kg";
        draft.set(Part::Fork, &Knob::Air, rows.to_owned());
        draft.set(Part::Fork, &Knob::LowRebound, "18 clicks".to_owned());
        draft.set(Part::Fork, &Knob::HighRebound, "8 clicks".to_owned());
        draft.set(Part::Fork, &Knob::Own("Ramp, up".to_owned()), "? clicks".to_owned());
        draft.remark(Part::Fork, &Knob::HighRebound, Some("# stiff".to_owned()));
        let expected = "bike \"B\"

part fork
  travel  150 mm
  air     44 to 120 psi, sag 18 to 22 %, start 62 psi at 60 kg, 75 psi at 75 kg, 88 psi at 90 kg
  low-speed rebound  18 clicks
  high-speed rebound 8 clicks   # stiff
  adjuster \"Ramp, up\" ? clicks
";
        assert_eq!(draft.text(), expected);
        assert_eq!(draft.alone(Part::Shock, &Knob::Air).text(), "bike \"B\"\n");
    }
}
