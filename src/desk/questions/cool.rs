//! Whether a layer or tub of hot grain cools in time.

use crate::desk::Answer;
use crate::keeping::RuleSet;
use crate::quantity::Problem;
use crate::report::Caution;
use crate::report::cool::{CoolAnswer, CoolRequest};

/// A forecast by heat conduction, held against these rules; it needs no book.
pub fn cool(request: CoolRequest, rules: RuleSet) -> Result<Answer<CoolAnswer>, Problem> {
    let cautions = vec![
        Caution::ThermometerDecides,
        Caution::HotGrain,
        Caution::DateIsARule,
    ];
    Ok(Answer::new(CoolAnswer::new(request, rules)?, cautions))
}
