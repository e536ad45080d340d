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
    CharacterInvisible "character-invisible" Error;
    CharacterLookalike "character-lookalike" Error;
    FilesJoined "files-joined" Error;
    TextInvisible "text-invisible" Error;
    MergeUnfinished "merge-unfinished" Error;
    // the words
    WordMisspelt "word-misspelt" Error;
    WordMissing "word-missing" Error;
    LineUnknown "line-unknown" Error;
    LineSplit "line-split" Error;
    LineMarked "line-marked" Error;
    LineOff "line-off" Note;
    HeadingOff "heading-off" Error;
    CommentNoSpace "comment-no-space" Error;
    LineMisplaced "line-misplaced" Error;
    LineUnfinished "line-unfinished" Error;
    WordUnexpected "word-unexpected" Error;
    OptionTwice "option-twice" Error;
    CommaMissing "comma-missing" Warning;
    CommaExtra "comma-extra" Warning;
    QuoteMissing "quote-missing" Error;
    QuotesCurly "quotes-curly" Error;
    DecimalComma "decimal-comma" Error;
    NumberUnclear "number-unclear" Error;
    UnitUnknown "unit-unknown" Error;
    UnitMissing "unit-missing" Error;
    UnitWrong "unit-wrong" Error;
    VersionNewer "version-newer" Error;
    // the set
    Duplicate "duplicate" Error;
    UseMissing "use-missing" Error;
    UseOutside "use-outside" Error;
    UseLoop "use-loop" Error;
    UseUnreadable "use-unreadable" Error;
    UseTooMany "use-too-many" Error;
    StepsEmpty "steps-empty" Error;
    // the bike
    RangeBackwards "range-backwards" Error;
    RangeSingle "range-single" Warning;
    RangeTooLarge "range-too-large" Error;
    RangeUnits "range-units" Error;
    SettingKindWrong "setting-kind-wrong" Error;
    NameTwice "name-twice" Error;
    NameReserved "name-reserved" Error;
    NamesOrder "names-order" Error;
    TooManyAdjusters "too-many-adjusters" Error;
    PlainAndSplit "plain-and-split" Error;
    BetweenSettings "between-settings" Error;
    OutOfRange "out-of-range" Error;
    SettingUnknown "setting-unknown" Error;
    StepSizeWrong "step-size-wrong" Error;
    OptionWrong "option-wrong" Error;
    PartWrong "part-wrong" Error;
    SpringsNotInOrder "springs-not-in-order" Error;
    TravelMissing "travel-missing" Error;
    SagNotARange "sag-not-a-range" Error;
    SagNarrow "sag-narrow" Warning;
    SagDefault "sag-default" Note;
    OneWeightOnly "one-weight-only" Error;
    WeightsNotInOrder "weights-not-in-order" Error;
    WeightMissing "weight-missing" Error;
    WeightBeyondStarts "weight-beyond-starts" Warning;
    WeightFarBeyondStarts "weight-far-beyond-starts" Error;
    WeightBackwards "weight-backwards" Warning;
    ValueImpossible "value-impossible" Error;
    ValueUnusual "value-unusual" Warning;
    SettingImpossible "setting-impossible" Error;
    // the steps
    AdjusterNotOnBike "adjuster-not-on-bike" Error;
    NothingToDo "nothing-to-do" Note;
    PlanTooLong "plan-too-long" Error;
    DirectionWrong "direction-wrong" Error;
    CompareTwiceNeeded "compare-twice-needed" Error;
    WarmUpUnknown "warm-up-unknown" Error;
    MeasureNoSag "measure-no-sag" Error;
    CompressionFirst "compression-first" Warning;
    DampingNotOpen "damping-not-open" Warning;
    NotSetBack "not-set-back" Warning;
    TyreAfterDamping "tyre-after-damping" Warning;
    AdjusterUnused "adjuster-unused" Warning;
    TunedTwice "tuned-twice" Warning;
    NoWarmUp "no-warm-up" Warning;
    NotTuned "not-tuned" Warning;
    PairsTooFew "pairs-too-few" Warning;
    EffortUnused "effort-unused" Warning;
    SagAfterSpacers "sag-after-spacers" Warning;
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
