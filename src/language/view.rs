//! Owns the view of a line that has been read: a type for each heading, entry and clause, with a field for each
//! phrase and clause of its form. All of it comes from the tables of the vocabulary, so what takes a view apart by
//! all its fields says what each word of the language means, and does not build where one is forgotten. It knows
//! nothing of what that is.

use crate::problem::Span;
use crate::vocabulary::{Clause, Entry, Heading, clause_table, entry_table, heading_table};

use super::tree::{ClauseLine, EntryLine, Field, HeadingLine, given};

macro_rules! clause_kind {
    ($lifetime:lifetime $clause:ident) => { Option<clause::$clause<$lifetime>> };
    ($lifetime:lifetime $clause:ident many) => { Vec<clause::$clause<$lifetime>> };
}

macro_rules! clause_of {
    ($line:ident $clause:ident) => {
        $line.clause(Clause::$clause).map(clause::$clause::of)
    };
    ($line:ident $clause:ident many) => {
        $line.clauses.iter().filter(|line| line.clause == Clause::$clause).map(clause::$clause::of).collect()
    };
}

macro_rules! clauses {
    ($($clause:ident $words:literal { $($field:ident: $slot:ident $([$($kind:ident)+])?),* }
        $meaning:literal;)*) => {
        /// The clauses, each with where it is and its phrases.
        pub mod clause {
            use super::{ClauseLine, Field, Span, given};
            $(
                #[doc = concat!("`", $words, "`: ", $meaning, ".")]
                #[derive(Debug, Clone, Copy)]
                pub struct $clause<'a> {
                    pub place: &'a Span,
                    $(pub $field: Field<'a, given::$slot>,)*
                }

                impl<'a> $clause<'a> {
                    pub(super) fn of(line: &'a ClauseLine) -> Self {
                        let mut _at = 0..;
                        $clause {
                            place: &line.span,
                            $($field: line.fields.at(_at.next().unwrap_or(0), line.broken, line.span),)*
                        }
                    }
                }
            )*
        }
    };
}

macro_rules! entries {
    ($($heading:ident $module:ident { $($entry:ident $words:literal
        { $($field:ident: $slot:ident $([$($kind:ident)+])?),* }
        { $($clause_field:ident: $clause:ident $($many:ident)?),* }
        $meaning:literal, $example:literal;)* })*) => {
        $(
            #[doc = concat!("The entries under `", stringify!($module), "`.")]
            pub mod $module {
                #[allow(unused_imports, reason = "no entry under a heading may have clauses")]
                use super::{Clause, EntryLine, Field, clause, given};
                $(
                    #[doc = concat!("`", $words, "`: ", $meaning, ".")]
                    #[derive(Debug, Clone)]
                    pub struct $entry<'a> {
                        pub line: &'a EntryLine,
                        $(pub $field: Field<'a, given::$slot>,)*
                        $(pub $clause_field: clause_kind!('a $clause $($many)?),)*
                    }

                    impl<'a> $entry<'a> {
                        pub(super) fn of(line: &'a EntryLine) -> Self {
                            let mut _at = 0..;
                            $entry {
                                line,
                                $($field: line.fields.at(_at.next().unwrap_or(0), line.broken, line.word),)*
                                $($clause_field: clause_of!(line $clause $($many)?),)*
                            }
                        }
                    }
                )*

                #[doc = concat!("One entry under `", stringify!($module), "`.")]
                #[derive(Debug, Clone)]
                pub enum Entry<'a> { $($entry($entry<'a>),)* }
            }
        )*

        /// One entry, by the heading to which it belongs.
        #[derive(Debug, Clone)]
        pub enum EntryView<'a> { $($heading($module::Entry<'a>),)* }

        impl EntryLine {
            /// What this line says, by name.
            #[must_use]
            pub fn view(&self) -> EntryView<'_> {
                match self.entry {
                    $($(Entry::$entry => EntryView::$heading($module::Entry::$entry($module::$entry::of(self))),)*)*
                }
            }
        }
    };
}

macro_rules! headings {
    ($($heading:ident $word:literal { $($field:ident: $slot:ident $([$($kind:ident)+])?),* }
        $meaning:literal, $example:literal;)*) => {
        /// The headings, each with its line and its phrases.
        pub mod heading {
            use super::{Field, HeadingLine, given};
            $(
                #[doc = concat!("`", $word, "`: ", $meaning, ".")]
                #[derive(Debug, Clone, Copy)]
                pub struct $heading<'a> {
                    pub line: &'a HeadingLine,
                    $(pub $field: Field<'a, given::$slot>,)*
                }

                impl<'a> $heading<'a> {
                    pub(super) fn of(line: &'a HeadingLine) -> Self {
                        let mut _at = 0..;
                        $heading {
                            line,
                            $($field: line.fields.at(_at.next().unwrap_or(0), line.broken, line.word),)*
                        }
                    }
                }
            )*
        }

        /// One heading.
        #[derive(Debug, Clone, Copy)]
        pub enum HeadingView<'a> { $($heading(heading::$heading<'a>),)* }

        impl HeadingLine {
            /// What this line says, by name.
            #[must_use]
            pub fn view(&self) -> HeadingView<'_> {
                match self.heading {
                    $(Heading::$heading => HeadingView::$heading(heading::$heading::of(self)),)*
                }
            }
        }
    };
}

clause_table!(clauses);
entry_table!(entries);
heading_table!(headings);
