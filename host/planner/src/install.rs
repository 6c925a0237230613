//! The order in which a room's pieces go on the wall: a cope or butt goes over a board that hangs already, a scarf's longer
//! face over the shorter. Which piece waits for which is decided with the pieces.

/// The places `0..count` in an order in which nothing comes before what it waits for, in walking order where there is a
/// choice.
///
/// # Errors
/// The places that wait for each other in a circle, or lie between two circles.
pub fn order(count: usize, before: &[(usize, usize)]) -> Result<Vec<usize>, Vec<usize>> {
    let mut waits: Vec<usize> = vec![0; count];
    for &(_, after) in before {
        waits[after] += 1;
    }
    let mut order = Vec::with_capacity(count);
    let mut hung = vec![false; count];
    while order.len() < count {
        let ready = |&piece: &usize| !hung[piece] && waits[piece] == 0;
        let Some(next) = (0..count).find(ready) else {
            return Err(circle(hung, before));
        };
        hung[next] = true;
        order.push(next);
        for &(first, after) in before {
            if first == next {
                waits[after] -= 1;
            }
        }
    }
    Ok(order)
}

/// What is left of the places that cannot be hung when those that only wait, and for which nothing waits, are left out.
fn circle(mut out: Vec<bool>, before: &[(usize, usize)]) -> Vec<usize> {
    let idle = |out: &[bool]| {
        let waited_for = |place| {
            before
                .iter()
                .any(|&(first, after)| first == place && !out[after])
        };
        (0..out.len()).find(|&place| !out[place] && !waited_for(place))
    };
    while let Some(place) = idle(&out) {
        out[place] = true;
    }
    (0..out.len()).filter(|&place| !out[place]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_comes_before_what_it_waits_for() {
        assert_eq!(order(4, &[(3, 0), (0, 1)]), Ok(vec![2, 3, 0, 1]));
        assert_eq!(order(0, &[]), Ok(vec![]));
        // 1 and 2 wait for each other; 3 and 4 only wait for them
        let circle = [(0, 1), (1, 2), (2, 1), (2, 3), (3, 4)];
        assert_eq!(order(5, &circle), Err(vec![1, 2]));
    }
}
