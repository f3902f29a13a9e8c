//! Joined grain: as bad as the worst that went into it.

use super::wet_and_dry::Course;
use super::{Advice, Assessment, History, RuleSet, Verdict, What, assess, life};
use crate::quantity::{Instant, Zone};

/// Judges grain that has several histories, one for each lot that went into it.
///
/// Each is judged as if all of the grain had it, and the worst counts: a mixture keeps the earliest date of
/// what is in it (Food Code 3-501.17(C)). So joining never makes anything better. Grain without any
/// history is unknown. Of unknown grain it also says whether a hot reading now would let its cooling begin now, and of
/// grain that a logger measured warm last whether a cold reading would keep it for longer.
pub fn assess_all(histories: &[History], rules: &RuleSet, zone: &Zone, at: Instant) -> Assessment {
    let mut all: Vec<Assessment> = histories
        .iter()
        .map(|history| assess(history, rules, zone, at))
        .collect();
    // The worst first; of two alike the one whose time is up sooner.
    all.sort_by_key(|one| {
        let sooner = one.keep_until.unwrap_or(Instant::MAX_UTC);
        (std::cmp::Reverse(one.verdict), sooner)
    });
    let mut all = all.into_iter();
    let nothing = History {
        mash_out: None,
        arrived_dried: false,
        events: Vec::new(),
    };
    let mut worst = all
        .next()
        .unwrap_or_else(|| assess(&nothing, rules, zone, at));
    for other in all {
        if other.warm_minutes > worst.warm_minutes {
            worst.warm_minutes = other.warm_minutes;
            worst.warm_times = other.warm_times;
        }
        worst.day = worst.day.max(other.day);
        let unknown_after = [worst.unknown_after, other.unknown_after];
        worst.unknown_after = unknown_after.into_iter().flatten().min();
        // An earlier end that is not reached yet comes first, whichever lot goes first today.
        if worst.verdict.may_be_used()
            && let Some(until) = other.keep_until
            && worst.keep_until.is_none_or(|known| until < known)
        {
            worst.keep_until = Some(until);
            worst.binding = other.binding;
            worst.advice = other.advice.or(worst.advice);
        }
        // What is to be done with the others is nothing to be done with grain that is past.
        if worst.verdict == Verdict::Past {
            continue;
        }
        for note in other.notes {
            if !worst.notes.contains(&note) {
                worst.notes.push(note);
            }
        }
    }
    if let Some(Advice::AskWhenCooled { still_hot, .. }) = &mut worst.advice {
        // Found by trying, so that it never says other than the verdict would.
        let hot = What::Read(rules.hot.limit.in_celsius());
        let usable = histories.iter().all(|history| {
            // What lies dried is hot no more.
            let lies_wet = |mash_out| !Course::of(history, rules, mash_out).lies_dried;
            if !history.mash_out.is_some_and(lies_wet) {
                return false;
            }
            let read = assess(&history.then(at, hot.clone()), rules, zone, at);
            read.verdict.may_be_used()
        });
        *still_hot = usable.then_some(rules.hot.limit);
    }
    if let Some(Advice::ReadInLogger {
        cold_by: Some((at_most, by)),
        good_until,
    }) = worst.advice
    {
        let cold = What::Read(at_most.in_celsius());
        let keeps_longer = histories.iter().all(|history| {
            let read = assess(&history.then(by, cold.clone()), rules, zone, by);
            let is_later = |until: Instant| good_until.is_some_and(|known| until > known);
            read.verdict.may_be_used() && read.keep_until.is_none_or(is_later)
        });
        let cold_by = keeps_longer.then_some((at_most, by));
        worst.advice = Some(Advice::ReadInLogger {
            cold_by,
            good_until,
        });
    }
    if worst.frozen {
        let came = histories.iter().flat_map(History::frozen_at);
        worst.frozen_since = came.filter(|came| *came <= at).max();
    }
    worst
}

/// The last moment at which [`assess_all`] lets grain with these histories be used; nothing where no limit ends that. For who
/// asks of many moments whether a lot may be used, and nothing else.
pub fn usable_through(histories: &[History], rules: &RuleSet, zone: &Zone) -> Option<Instant> {
    if histories.is_empty() {
        return Some(Instant::MIN_UTC);
    }
    let ends = histories.iter();
    ends.filter_map(|history| life::usable_through(history, rules, zone))
        .min()
}
