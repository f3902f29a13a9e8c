//! Whether a layer or tub of hot grain cools in time.

use crate::desk::{Answer, Refusal};
use crate::keeping::RuleSet;
use crate::report::Caution;
use crate::report::cool::{CoolAnswer, CoolRequest};

/// A forecast by heat conduction, held against these rules; it needs no book.
pub fn cool(request: CoolRequest, rules: RuleSet) -> Result<Answer<CoolAnswer>, Refusal> {
    if rules.cold.limit.at_or_below(request.start) {
        return Err(Refusal::ColdAlready(request.start));
    }
    let cautions = vec![
        Caution::ThermometerDecides,
        Caution::HotGrain,
        Caution::DateIsARule,
    ];
    let answer = CoolAnswer::new(request, rules).map_err(Refusal::Request)?;
    Ok(Answer::new(answer, cautions))
}
