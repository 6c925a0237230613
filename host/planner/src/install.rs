//! The order in which a room's pieces go on the wall: a cope or butt goes over a board that hangs already, a scarf's longer
//! face over the shorter. Which piece waits for which is decided with the pieces.

/// The places `0..count` in an order in which nothing comes before what it waits for, in walking order where there is a
/// choice; none where pieces wait for each other in a circle.
pub fn order(count: usize, before: &[(usize, usize)]) -> Option<Vec<usize>> {
    let mut waits: Vec<usize> = vec![0; count];
    for &(_, after) in before {
        waits[after] += 1;
    }
    let mut order = Vec::with_capacity(count);
    let mut hung = vec![false; count];
    while order.len() < count {
        let next = (0..count).find(|&piece| !hung[piece] && waits[piece] == 0)?;
        hung[next] = true;
        order.push(next);
        for &(first, after) in before {
            if first == next {
                waits[after] -= 1;
            }
        }
    }
    Some(order)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_comes_before_what_it_waits_for() {
        assert_eq!(order(4, &[(3, 0), (0, 1)]), Some(vec![2, 3, 0, 1]));
        assert_eq!(order(2, &[(0, 1), (1, 0)]), None);
        assert_eq!(order(0, &[]), Some(vec![]));
    }
}
