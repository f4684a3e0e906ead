//! Keeps a map small: cheap neighbours are joined, never to something cleaner.

use super::SEGMENTS_MAX;
use super::lanes::{LANES, Lanes};
use super::segment::Segment;

/// Segments after joining, about.
const TARGET: usize = SEGMENTS_MAX * 3 / 4;

/// Joins segments down to at most the limit. Neighbours whose union adds the least dirt go
/// first; where that is not enough, because every neighbour lies over other lanes, the lanes are
/// given up: each place becomes as dirty over its whole height as its dirtiest lane.
pub(super) fn coarsen(list: Vec<Segment>) -> Vec<Segment> {
    let joined = arrange(join_cheapest(list));
    if joined.len() <= SEGMENTS_MAX { joined } else { arrange(join_cheapest(arrange(give_up_lanes(&joined)))) }
}

/// Sorts segments by place, drops clean ones, and joins equal neighbours along and across.
pub(super) fn arrange(mut list: Vec<Segment>) -> Vec<Segment> {
    list.retain(|s| !s.is_clean() && s.from_m < s.to_m);
    let order = |a: &Segment, b: &Segment| a.from_m.total_cmp(&b.from_m).then(a.lanes.lowest().cmp(&b.lanes.lowest()));
    list.sort_by(order);
    let mut across: Vec<Segment> = Vec::with_capacity(list.len());
    for segment in list {
        let beside =
            across.iter_mut().rev().take(LANES).find(|other| {
                other.from_m == segment.from_m && other.to_m == segment.to_m && other.same_surface(&segment)
            });
        match beside {
            Some(other) => other.lanes = other.lanes.union(segment.lanes),
            None => across.push(segment),
        }
    }
    let mut last: [Option<usize>; LANES] = [None; LANES];
    let mut along: Vec<Segment> = Vec::with_capacity(across.len());
    for segment in across {
        let before = last[segment.lanes.lowest() as usize & 3].and_then(|i| along.get_mut(i));
        if let Some(before) = before
            && before.to_m == segment.from_m
            && before.lanes == segment.lanes
            && before.same_surface(&segment)
        {
            before.to_m = segment.to_m;
            continue;
        }
        for lane in segment.lanes.indices() {
            last[lane] = Some(along.len());
        }
        along.push(segment);
    }
    along
}

/// Joins the cheapest pairs of neighbours over the same lanes, as many as there are too many.
fn join_cheapest(old: Vec<Segment>) -> Vec<Segment> {
    let mut last: [Option<usize>; LANES] = [None; LANES];
    let mut pairs: Vec<(f64, usize, usize)> = Vec::new();
    for (j, b) in old.iter().enumerate() {
        let before = last[b.lanes.lowest() as usize & 3];
        if let Some(i) = before
            && old[i].lanes == b.lanes
            && b.lanes.indices().all(|lane| last[lane] == before)
        {
            let a = &old[i];
            let joined = a.join(b).clarity();
            let added = (a.clarity() - joined) * a.length_m()
                + (b.clarity() - joined) * b.length_m()
                + (1.0 - joined) * (b.from_m - a.to_m);
            pairs.push((added * f64::from(b.lanes.count()), i, j));
        }
        for lane in b.lanes.indices() {
            last[lane] = Some(j);
        }
    }
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let mut next: Vec<Option<usize>> = vec![None; old.len()];
    for (_, i, j) in pairs.iter().take(old.len().saturating_sub(TARGET)) {
        next[*i] = Some(*j);
    }
    let mut current = old;
    let mut out = Vec::with_capacity(TARGET);
    for i in 0..current.len() {
        match next[i] {
            Some(j) => current[j] = current[i].join(&current[j]),
            None => out.push(current[i]),
        }
    }
    out
}

/// The map with every stretch as dirty over all lanes as its dirtiest lane.
fn give_up_lanes(list: &[Segment]) -> Vec<Segment> {
    columns(list)
        .filter_map(|column| {
            let mut there = column.lanes.iter().flatten().map(|i| list[*i]);
            let first = there.next()?;
            let worst = there.fold(first, |all, one| all.join(&one));
            Some(Segment { from_m: column.from_m, to_m: column.to_m, lanes: Lanes::ALL, ..worst })
        })
        .collect()
}

/// A stretch between two places where any lane changes.
pub(super) struct Column {
    pub from_m: f64,
    pub to_m: f64,
    /// Per lane the segment that covers it, by its place in the list.
    pub lanes: [Option<usize>; LANES],
}

/// Cuts a sorted list into columns, from the first to the last segment.
pub(super) fn columns(list: &[Segment]) -> impl Iterator<Item = Column> {
    let mut cuts: Vec<f64> = list.iter().flat_map(|s| [s.from_m, s.to_m]).collect();
    cuts.sort_by(f64::total_cmp);
    cuts.dedup();
    let mut next = 0;
    let mut lanes: [Option<usize>; LANES] = [None; LANES];
    (1..cuts.len()).map(move |i| {
        let (from_m, to_m) = (cuts[i - 1], cuts[i]);
        for lane in &mut lanes {
            *lane = lane.filter(|s| list[*s].to_m > from_m);
        }
        while next < list.len() && list[next].from_m <= from_m {
            for lane in list[next].lanes.indices() {
                lanes[lane] = Some(next);
            }
            next += 1;
        }
        Column { from_m, to_m, lanes }
    })
}
