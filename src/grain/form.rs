//! What state a lot is in (its form) and what was done with the malt (its kind).

use crate::quantity::Problem;
use crate::quantity::text::one_of;
use std::fmt;
use std::str::FromStr;

/// State of the grain; a treatment changes it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Form {
    /// As it leaves the mash tun.
    Whole,
    /// Water pressed out.
    Pressed,
    /// Cut to a paste, still wet.
    Blended,
    /// Dried, not milled.
    Dried,
    /// Dried and milled to a flour.
    Milled,
}

/// What was done with the malt or cereal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// Mashed: its starch was turned to sugar and run off.
    Mashed,
    /// Steeped only: it keeps starch or dextrin, and no composition has been published.
    Steeped,
}

impl Form {
    /// Every form, in the order in which grain passes through them.
    pub const ALL: [Self; 5] = [
        Self::Whole,
        Self::Pressed,
        Self::Blended,
        Self::Dried,
        Self::Milled,
    ];

    /// The word for it.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Whole => "whole",
            Self::Pressed => "pressed",
            Self::Blended => "blended",
            Self::Dried => "dried",
            Self::Milled => "milled",
        }
    }

    /// Whether the grain of this form has been dried.
    pub const fn is_dry(self) -> bool {
        matches!(self, Self::Dried | Self::Milled)
    }
}

impl Kind {
    /// Both kinds.
    pub const ALL: [Self; 2] = [Self::Mashed, Self::Steeped];

    /// The word for it.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Mashed => "mashed",
            Self::Steeped => "steeped",
        }
    }
}

impl FromStr for Form {
    type Err = Problem;

    fn from_str(text: &str) -> Result<Self, Problem> {
        one_of(text, "form", &Self::ALL, Self::as_str)
    }
}

impl FromStr for Kind {
    type Err = Problem;

    fn from_str(text: &str) -> Result<Self, Problem> {
        one_of(text, "kind", &Self::ALL, Self::as_str)
    }
}

impl fmt::Display for Form {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self.as_str())
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self.as_str())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_read_back() {
        for form in Form::ALL {
            assert_eq!(form.to_string().parse::<Form>().unwrap(), form);
        }
        for kind in Kind::ALL {
            assert_eq!(kind.to_string().parse::<Kind>().unwrap(), kind);
        }
        assert_eq!(" Whole ".parse::<Form>().unwrap(), Form::Whole);
    }

    #[test]
    fn other_words_are_refused_with_those_allowed() {
        assert_eq!(
            "wet".parse::<Form>().unwrap_err().to_string(),
            "form is `wet`: allowed are whole, pressed, blended, dried, milled"
        );
        assert_eq!(
            "".parse::<Kind>().unwrap_err().to_string(),
            "kind is ``: allowed are mashed, steeped"
        );
    }
}
