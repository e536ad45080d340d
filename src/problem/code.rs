//! Owns the codes: a short readable name for each kind of problem, and how much it matters.

use super::Severity;

macro_rules! codes {
    ($($code:ident $name:literal $severity:ident;)*) => {
        /// The kind of a problem. Its name is stable: scripts may rely on it.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Code { $($code,)* }

        impl Code {
            /// Every code.
            pub const ALL: &[Code] = &[$(Code::$code,)*];

            /// Its name, as it is printed.
            #[must_use]
            pub fn name(self) -> &'static str {
                match self { $(Code::$code => $name,)* }
            }

            /// How much it matters.
            #[must_use]
            pub fn severity(self) -> Severity {
                match self { $(Code::$code => Severity::$severity,)* }
            }
        }
    };
}

codes! {
    // the text
    EncodingUnknown "encoding-unknown" Error;
    FileForeign "file-foreign" Error;
    FileEmpty "file-empty" Note;
    LineTooLong "line-too-long" Error;
    FileTooLong "file-too-long" Error;
    LineEnd "line-end" Error;
    CharacterUnknown "character-unknown" Error;
    CharacterHidden "character-hidden" Error;
    CharacterAlike "character-alike" Error;
    FilesGlued "files-glued" Error;
    TextControl "text-control" Error;
    MergeUnfinished "merge-unfinished" Error;
    // the words
    WordMisspelt "word-misspelt" Error;
    WordMissing "word-missing" Error;
    LineUnknown "line-unknown" Error;
    LineTorn "line-torn" Error;
    LineMarked "line-marked" Error;
    LineAside "line-aside" Note;
    HeadingAside "heading-aside" Error;
    CommentGlued "comment-glued" Error;
    EntryMisplaced "entry-misplaced" Error;
    PhraseMissing "phrase-missing" Error;
    PhraseUnexpected "phrase-unexpected" Error;
    ClauseTwice "clause-twice" Error;
    CommaMissing "comma-missing" Warning;
    CommaExtra "comma-extra" Warning;
    QuoteOpen "quote-open" Error;
    QuotesBent "quotes-bent" Error;
    DecimalComma "decimal-comma" Error;
    NumberUnusable "number-unusable" Error;
    UnitUnknown "unit-unknown" Error;
    UnitMissing "unit-missing" Error;
    UnitUnfit "unit-unfit" Error;
    LanguageLater "language-later" Error;
    // the set
    Twice "twice" Error;
    UseMissing "use-missing" Error;
    UseOutside "use-outside" Error;
    UseCircle "use-circle" Error;
    UseUnreadable "use-unreadable" Error;
    UseTooMany "use-too-many" Error;
    StepsEmpty "steps-empty" Error;
    // the bike
    RangeInverted "range-inverted" Error;
    RangeSingle "range-single" Warning;
    RangeTooLarge "range-too-large" Error;
    RangeUnits "range-units" Error;
    ScaleUnfit "scale-unfit" Error;
    NameTwice "name-twice" Error;
    NameReserved "name-reserved" Error;
    NamesOrder "names-order" Error;
    TooManyAdjusters "too-many-adjusters" Error;
    PlainBesideSplit "plain-beside-split" Error;
    OffGrid "off-grid" Error;
    PlaceOutside "place-outside" Error;
    PlaceUnfit "place-unfit" Error;
    StepUnusable "step-unusable" Error;
    ClauseUnfit "clause-unfit" Error;
    EntryUnfit "entry-unfit" Error;
    ListNotRising "list-not-rising" Error;
    TravelMissing "travel-missing" Error;
    SagUnusable "sag-unusable" Error;
    SagNarrow "sag-narrow" Warning;
    SagSilent "sag-silent" Note;
    TableOneRow "table-one-row" Error;
    TableNotRising "table-not-rising" Error;
    WeightMissing "weight-missing" Error;
    WeightOutside "weight-outside" Warning;
    WeightFarOutside "weight-far-outside" Error;
    WeightBackwards "weight-backwards" Warning;
    ValueUnusable "value-unusable" Error;
    ValueUnusual "value-unusual" Warning;
    SettingImpossible "setting-impossible" Error;
    // the steps
    AdjusterAbsent "adjuster-absent" Error;
    SelectsNothing "selects-nothing" Note;
    PlanTooLong "plan-too-long" Error;
    WayUnfit "way-unfit" Error;
    SecondQuestionNeeded "second-question-needed" Error;
    WarmUpUnknown "warm-up-unknown" Error;
    MeasureUnfit "measure-unfit" Error;
    CompressionFirst "compression-first" Warning;
    DampingClosed "damping-closed" Warning;
    NotSetBack "not-set-back" Warning;
    TyreLate "tyre-late" Warning;
    AdjusterUnused "adjuster-unused" Warning;
    TunedTwice "tuned-twice" Warning;
    NoWarmUp "no-warm-up" Warning;
    NotTuned "not-tuned" Warning;
    PairsTooFew "pairs-too-few" Warning;
    EffortIdle "effort-idle" Warning;
    SpacersUnmeasured "spacers-unmeasured" Warning;
    BeforeUnknown "before-unknown" Error;
    SpringLate "spring-late" Warning;
    LockoutClosed "lockout-closed" Warning;
    TyreUnchecked "tyre-unchecked" Note;
    OverBudget "over-budget" Warning;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_code_has_a_readable_name_of_its_own() {
        let mut names: Vec<_> = Code::ALL.iter().map(|code| code.name()).collect();
        assert!(names.iter().all(|name| name.bytes().all(|b| b.is_ascii_lowercase() || b == b'-')));
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), Code::ALL.len());
    }
}
