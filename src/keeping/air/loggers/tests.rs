//! What several files of one place say together, and that no file makes it colder.

use super::*;
use chrono::DateTime;
use proptest::prelude::*;
use std::collections::BTreeMap;

const GAP: Duration = Duration::hours(4);

fn after(minutes: i64) -> Instant {
    DateTime::from_timestamp(1_793_610_000, 0).unwrap() + Duration::minutes(minutes)
}

/// Minutes and thousandths of a degree.
type File = Vec<(i64, i32)>;

/// Files with their numbers, as the book holds them.
fn rows<'a>(files: impl IntoIterator<Item = (i64, &'a File)>) -> Vec<FileReading> {
    let mut found: Vec<FileReading> = files
        .into_iter()
        .flat_map(|(file, readings)| {
            readings.iter().map(move |(minutes, milli)| FileReading {
                at: after(*minutes),
                file,
                temperature: Temperature::new(*milli, crate::quantity::Scale::Celsius),
            })
        })
        .collect();
    found.sort_by_key(|row| (row.at, row.file));
    found
}

fn of(files: &[File]) -> Together {
    together(&rows((0..).zip(files)), GAP)
}

/// The coldest and the warmest that counts at each moment.
fn moments(found: &Together) -> BTreeMap<Instant, (i32, i32)> {
    let mut moments = BTreeMap::new();
    for (at, reading) in &found.readings {
        let milli = reading.milli_celsius();
        let (least, most) = moments.entry(*at).or_insert((milli, milli));
        *least = milli.min(*least);
        *most = milli.max(*most);
    }
    moments
}

/// The warmest that counts some minutes after the beginning, between two moments or at one; nothing where nobody measured.
fn warmest(found: &Together, minutes: impl IntoIterator<Item = i64>) -> Vec<Option<i32>> {
    let moments = moments(found);
    let at = |minutes| {
        let (before, left) = moments.range(..=after(minutes)).next_back()?;
        let (next, right) = moments.range(after(minutes)..).next()?;
        (*next - *before <= GAP).then_some(left.1.max(right.1))
    };
    minutes.into_iter().map(at).collect()
}

fn every(minutes: i64, milli: &[i32]) -> File {
    (0..)
        .map(|row| row * minutes)
        .zip(milli.iter().copied())
        .collect()
}

#[test]
fn readings_of_one_file_stay_as_they_are() {
    let file = every(5, &[3_500, 9_000, 3_500]);
    let found = of(std::slice::from_ref(&file));
    let expected: Vec<_> = rows([(0, &file)])
        .iter()
        .map(|row| (row.at, row.temperature))
        .collect();
    assert_eq!((found.readings, found.ended), (expected, Vec::new()));
}

#[test]
fn cold_readings_hide_no_warm_interval_of_another_file() {
    let coarse = every(60, &[3_500, 9_000, 3_500, 3_500]);
    let fine = every(5, &[3_500; 37]);
    for files in [[coarse.clone(), fine.clone()], [fine, coarse]] {
        let expected: Vec<_> = (1..180)
            .map(|minutes| Some(if minutes < 120 { 9_000 } else { 3_500 }))
            .collect();
        assert_eq!(warmest(&of(&files), 1..180), expected);
    }
}

#[test]
fn a_short_peak_of_one_file_does_not_last_for_an_interval_of_another() {
    let mut often = [3_500; 25];
    often[6] = 9_000;
    let expected: Vec<_> = (1..120)
        .map(|minutes| {
            let is_peak = (26..35).contains(&minutes);
            Some(if is_peak { 9_000 } else { 3_500 })
        })
        .collect();
    let found = of(&[every(60, &[3_500; 3]), every(5, &often)]);
    assert_eq!(warmest(&found, 1..120), expected);
}

/// Nobody knows how warm it was there afterwards, so a third file does not cut it short.
#[test]
fn where_a_file_ends_its_figure_counts_for_the_interval_of_another() {
    let mut files = vec![every(60, &[3_500; 3]), every(10, &[9_000, 9_000])];
    assert_eq!(warmest(&of(&files), [59, 61]), [Some(9_000), Some(3_500)]);
    files.push(vec![(11, 3_501), (12, 3_501), (119, 3_501)]);
    assert_eq!(warmest(&of(&files), [59, 61]), [Some(9_000), Some(3_501)]);
}

/// The file that begins first hides no warmer one that would go on as well, nor does the one that ended last.
#[test]
fn of_a_time_that_no_file_measured_each_counts_that_goes_on_or_went_before() {
    let long = vec![(0, 4_000), (90, 4_000)];
    let first = vec![(319, 4_000), (324, 4_000)];
    let warm = vec![(320, 6_500), (325, 4_000)];
    let files = [long.clone(), first.clone(), warm];
    assert_eq!(
        warmest(&of(&files), [89, 91, 318, 326]),
        [Some(4_000), Some(6_500), Some(6_500), None]
    );
    let too_late = vec![(331, 6_500), (335, 4_000)];
    let files = [long.clone(), first.clone(), too_late];
    assert_eq!(warmest(&of(&files), [91, 318]), [Some(4_000); 2]);
    let ended_warm = vec![(80, 4_000), (85, 7_000)];
    assert_eq!(
        warmest(&of(&[long, first, ended_warm]), [91, 318]),
        [Some(7_000); 2]
    );
    // One that another went on from is over.
    let in_turn = [
        vec![(0, 3_500), (60, 9_000)],
        vec![(65, 3_500), (120, 3_500)],
        vec![(125, 3_500), (180, 3_500)],
        vec![(185, 9_000), (240, 3_500)],
    ];
    assert_eq!(
        warmest(&of(&in_turn), [62, 122, 182]),
        [9_000, 3_500, 9_000].map(Some)
    );
}

/// Rows were left out in it: then all of it is cut.
#[test]
fn a_time_that_no_file_measured_is_cut_as_a_whole() {
    let files = [
        vec![(0, 4_000), (90, 4_000)],
        vec![(319, 4_000), (324, 4_000)],
        vec![(320, 6_500), (325, 4_000)],
    ];
    let found = of(&files);
    for minutes in [90, 100, 300, 319] {
        let left_out = found.cut_at(vec![after(minutes)]);
        let points = super::super::points(&found.readings, &left_out);
        let parts = points
            .iter()
            .filter(|point| point.at > after(90) && point.at <= after(319));
        assert!(parts.clone().count() >= 2);
        assert!(parts.clone().all(|point| point.cut), "{minutes}");
    }
    assert_eq!(found.cut_at(vec![after(0)]), [after(0)]);
}

#[test]
fn what_files_showed_that_ended_shortly_before_the_last_reading_counts_after_it() {
    let long = every(5, &[3_500; 26]);
    let ends = every(30, &[3_500, 3_500, 3_500, 9_000]);
    let shortly_before = |minutes: i64| [(after(minutes), after(125))];
    assert_eq!(of(&[long.clone(), ends.clone()]).ended, shortly_before(90));
    // So it is before a gap.
    let beyond = vec![(366, 3_400), (371, 3_400)];
    assert_eq!(
        of(&[long.clone(), ends.clone(), beyond]).ended,
        shortly_before(90)
    );
    // A file that begins after it goes on from it.
    let next = vec![(95, 3_400), (100, 3_400)];
    assert_eq!(of(&[long, ends.clone(), next]).ended, shortly_before(100));
    // Long before the last reading it tells nothing of the time after that.
    let later = every(5, &[3_500; 100]);
    assert!(of(&[later, ends]).ended.is_empty());
}

/// Files with readings every ten minutes at the most; no two hold the same figure at one moment.
fn any_files() -> impl Strategy<Value = Vec<File>> {
    let file = prop::collection::btree_map(0i64..60, 100i32..2_600, 1..25);
    prop::collection::vec(file, 2..5).prop_map(|files| {
        (0..)
            .zip(files)
            .map(|(number, file)| {
                let reading = |(ten, milli): (i64, i32)| (10 * ten, 10 * milli + number);
                file.into_iter().map(reading).collect::<File>()
            })
            .collect()
    })
}

proptest! {
    #[test]
    fn together_they_are_never_colder_than_one_of_them(files in any_files()) {
        let curve = |found: &Together| warmest(found, (0..600).step_by(5));
        let all = curve(&of(&files));
        let each: Vec<Vec<Option<i32>>> = files
            .iter()
            .map(|file| curve(&of(std::slice::from_ref(file))))
            .collect();
        let fewer = curve(&of(&files[..files.len() - 1]));
        // One file with all these rows.
        let union = curve(&together(&rows(files.iter().map(|file| (0, file))), GAP));
        for (index, found) in all.iter().enumerate() {
            prop_assert!(each.iter().all(|one| *found >= one[index]), "{index}");
            prop_assert_eq!(found.is_some(), union[index].is_some());
            prop_assert!(*found >= union[index], "{}", index);
            // What a file measured is no colder for one more.
            if each[..files.len() - 1].iter().any(|one| one[index].is_some()) {
                prop_assert!(*found >= fewer[index], "{}", index);
            }
        }
    }

    #[test]
    fn the_order_of_files_does_not_count(files in any_files()) {
        let found = of(&files);
        let turned = together(&rows((0..).zip(files.iter().rev())), GAP);
        prop_assert_eq!(moments(&found), moments(&turned));
        prop_assert_eq!(found.ended, turned.ended);
    }

    /// A file that begins after a gap changes nothing of what files say of the time before that.
    #[test]
    fn a_file_after_a_gap_says_nothing_of_the_time_before_it(
        files in any_files(),
        (beyond, figures) in (1i64..2_000, prop::collection::vec(100i32..26_000, 1..10)),
    ) {
        let last = files.iter().flatten().map(|(at, _)| *at).max().unwrap();
        let later: File = (last + 240 + beyond..).step_by(5).zip(figures).collect();
        let found = of(&files);
        let more = of(&[&files[..], &[later]].concat());
        let before = |at: Instant| at <= after(last);
        let moments_before = moments(&more).into_iter().filter(|(at, _)| before(*at));
        prop_assert_eq!(moments(&found), moments_before.collect::<BTreeMap<_, _>>());
        let known = |all: Vec<(Instant, Instant)>| -> Vec<(Instant, Instant)> {
            all.into_iter().filter(|(_, last)| before(*last)).collect()
        };
        prop_assert_eq!(&found.ended, &known(more.ended));
        prop_assert_eq!(&found.within[..], &more.within[..found.within.len()]);
    }

    /// Readings that the book holds already are not stored with the next file, but for the one that it goes on from.
    #[test]
    fn a_file_in_parts_is_like_the_whole(
        files in any_files(),
        (one, other) in (0usize..25, 0usize..25),
    ) {
        let (first, last) = (one.min(other), one.max(other) + 1);
        let whole = &files[0];
        let parts = [
            whole[..last.min(whole.len())].to_vec(),
            whole[first.min(whole.len() - 1)..].to_vec(),
        ];
        let in_parts = [&parts[..], &files[1..]].concat();
        let (found, expected) = (of(&in_parts), of(&files));
        prop_assert_eq!(moments(&found), moments(&expected));
        let unique = |mut ended: Vec<(Instant, Instant)>| {
            ended.dedup();
            ended
        };
        prop_assert_eq!(unique(found.ended), unique(expected.ended));
    }
}
