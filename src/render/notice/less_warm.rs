//! A lot that counts as less warm than before, or keeps better.

use crate::grain::LotCode;
use crate::keeping::Verdict;
use crate::render::times;

/// What it was and what it is, with its warm time where that changed.
pub fn words(lot: LotCode, was: (Verdict, i64), is: (Verdict, i64)) -> String {
    let warm = |minutes: i64| match minutes {
        0 => "no warm time".to_owned(),
        minutes => format!("{} of warm time", times::minutes(minutes)),
    };
    let change = if was.1 == is.1 {
        format!("was {} and is {} now", was.0, is.0)
    } else {
        format!(
            "was {} with {}, and is {} with {} now",
            was.0,
            warm(was.1),
            is.0,
            warm(is.1)
        )
    };
    format!(
        "lot `{lot}` {change}, by what you say of an earlier time. If that is not so, strike this entry"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn warm_time_is_told_where_it_changed() {
        let lot = "ALD-261120-1T".parse().unwrap();
        let told = |was, is| words(lot, was, is);
        let (first, good) = (Verdict::UseFirst, Verdict::Good);
        assert!(
            told((first, 0), (good, 0))
                .starts_with("lot `ALD-261120-1T` was use-first and is good now, by")
        );
        let less = "was use-first with 3 h of warm time, and is good with no warm time now, by";
        assert!(told((first, 180), (good, 0)).contains(less));
    }
}
