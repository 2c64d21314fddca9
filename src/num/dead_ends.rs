//! What of a graph is left without all that leads nowhere.

/// By edge whether it stays: of those that do so far, each is let go from whose one node nothing leads on, neither the node
/// itself nor another edge that stays.
#[must_use]
pub fn without_dead_ends(edges: &[(usize, usize)], mut stays: Vec<bool>, leads_on: &[bool]) -> Vec<bool> {
    let mut at_node: Vec<Vec<usize>> = vec![Vec::new(); leads_on.len()];
    for (number, (from, to)) in edges.iter().enumerate().filter(|(number, _)| stays[*number]) {
        at_node[*from].push(number);
        at_node[*to].push(number);
    }
    for first in 0..leads_on.len() {
        let mut node = first;
        while !leads_on[node] {
            let mut left = at_node[node].iter().filter(|edge| stays[**edge]);
            let (Some(&last), None) = (left.next(), left.next()) else { break };
            stays[last] = false;
            let (from, to) = edges[last];
            node = if from == node { to } else { from };
        }
    }
    stays
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_branch_goes_as_far_as_the_ring_that_it_leaves() {
        // A ring of 0, 1 and 2, from which a branch leads over 3 to 4; nothing leads on but at 0.
        let edges = [(0, 1), (1, 2), (2, 0), (2, 3), (3, 4)];
        let leads_on = [true, false, false, false, false];
        let stays = without_dead_ends(&edges, vec![true; 5], &leads_on);
        assert_eq!(stays, [true, true, true, false, false]);
        // Cut open, it leads nowhere either.
        let cut = without_dead_ends(&edges, vec![true, false, true, true, true], &leads_on);
        assert_eq!(cut, [false; 5]);
    }
}
