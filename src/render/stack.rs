//! Labels in a column, each as near as can be to what it names.

/// The tops of labels that want to begin at a place and are so high; they come from the top down, and none begins above
/// `least`.
pub(super) fn spread(wanted: &[(f64, f64)], least: f64) -> Vec<f64> {
    /// Labels that touch: how many, the sum of where each would have the first begin, how high all are.
    struct Group {
        count: usize,
        sum: f64,
        tall: f64,
    }
    #[allow(clippy::cast_precision_loss)] // a few labels
    let top = |group: &Group| (group.sum / group.count as f64).max(least);
    let mut groups: Vec<Group> = Vec::new();
    for (place, tall) in wanted {
        groups.push(Group { count: 1, sum: *place, tall: *tall });
        while let [.., before, last] = groups.as_slice() {
            if top(before) + before.tall <= top(last) {
                break;
            }
            #[allow(clippy::cast_precision_loss)]
            let sum = before.sum + last.sum - before.tall * last.count as f64;
            let joined = Group { count: before.count + last.count, sum, tall: before.tall + last.tall };
            groups.truncate(groups.len() - 2);
            groups.push(joined);
        }
    }
    let mut places = Vec::with_capacity(wanted.len());
    let mut rest = wanted.iter();
    for group in &groups {
        let mut at = top(group);
        for (_, tall) in rest.by_ref().take(group.count) {
            places.push(at);
            at += tall;
        }
    }
    places
}
