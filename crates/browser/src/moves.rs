//! What the hand can do to a piece next: each hinge, each way.
//!
//! Under the rule `swings` a hinge turns if the swing is clear. Under `planned`
//! and `any` it also turns where only the end counts: into a pose that the rule
//! allows, through bodies in the way if need be, or with other hinges moving
//! along (the fewest, then the least) where one alone can't: in a loop, or
//! where the pose it would come to does not exist.

use lattice::{Motion, Piece, Pose, Turn};
use reach::{Outcome, Swings, openings};
use serde::Serialize;

use crate::bench::{Bench, is_sound};
use crate::record::{PoseRecord, ReachRecord, Refusal, pose, pose_record, refuse};

/// One hinge turned one way.
#[derive(Debug, Serialize)]
pub(crate) struct MoveRecord {
    pub hinge: usize,
    /// 1: a quarter turn anticlockwise seen from above; 3: clockwise. It is the
    /// side of `moving` that turns.
    pub turn: u8,
    /// The blocks that turn: the side with fewer of them.
    pub moving: Vec<usize>,
    /// The pose after it; none if it can't be made.
    pub after: Option<PoseRecord>,
    /// How: `swing`, `through` other bodies, `together` with other hinges; or
    /// why not: `partner`, `blocked`, `no pose`.
    pub how: &'static str,
    /// The two blocks that would meet.
    pub meet: Option<[usize; 2]>,
}

pub(crate) fn moves(bench: &Bench, number: usize, record: &PoseRecord) -> Result<Vec<MoveRecord>, Refusal> {
    let piece = bench.piece(number)?;
    let pose = pose(piece, record)?;
    if !is_sound(piece, &pose) {
        return refuse(format!("piece {number} does not hold together in this pose"));
    }
    let mut swings = Swings::new(piece, &bench.plan);
    let tried = swings.from(&pose);
    let mut found = Vec::new();
    for hinge in 0..piece.hinges().len() {
        let far = swings.far_side(hinge).map(<[usize]>::to_vec);
        for turn in [Turn::new(1), Turn::new(3)] {
            let all = piece.blocks().len();
            let Some(far) = &far else {
                found.push(together(bench, number, &pose, hinge, turn, Vec::new())?);
                continue;
            };
            let few = far.len() * 2 <= all;
            let moving: Vec<usize> = (0..all).filter(|b| far.contains(b) == few).collect();
            // The swings are told as turns of the far side.
            let told = if few { turn } else { turn.undone() };
            let swing = tried.iter().find(|s| s.hinge == hinge && s.turn == told);
            let after = || pose_record(&swung(piece, &pose, hinge, &moving, turn));
            let (hinge_turn, quarters) = (hinge, turn.quarters());
            let record = |how, after, meet| MoveRecord {
                hinge: hinge_turn,
                turn: quarters,
                moving: moving.clone(),
                after,
                how,
                meet,
            };
            found.push(match swing.map(|s| &s.outcome) {
                None => record("partner", None, None),
                Some(Outcome::Clear(_)) => record("swing", Some(after()), None),
                Some(&Outcome::Blocked { moving: a, standing: b }) => {
                    let ends = swung(piece, &pose, hinge, &moving, turn);
                    let meet = Some([a, b]);
                    if bench.reach == ReachRecord::Swings {
                        record("blocked", None, meet)
                    } else if is_sound(piece, &ends) && allows(bench, number, &ends)? {
                        record("through", Some(pose_record(&ends)), meet)
                    } else {
                        let other = together(bench, number, &pose, hinge, turn, moving.clone())?;
                        if other.after.is_some() { other } else { record("blocked", None, meet) }
                    }
                }
            });
        }
    }
    Ok(found)
}

/// The pose after `moving` has turned about a hinge of its own.
fn swung(piece: &Piece, pose: &Pose, hinge: usize, moving: &[usize], turn: Turn) -> Pose {
    let hinge = &piece.hinges()[hinge];
    let about = Motion::about(pose.motions()[hinge.joins[0]].vertex(hinge.pin), turn);
    let turned = |(block, m): (usize, &Motion)| if moving.contains(&block) { m.then(about) } else { *m };
    Pose::from_motions(pose.motions().iter().enumerate().map(turned).collect())
}

/// Whether the rule allows a pose, however it is turned and shifted. The
/// openings of its hinges tell a pose up to that.
fn allows(bench: &Bench, number: usize, pose: &Pose) -> Result<bool, Refusal> {
    let piece = bench.piece(number)?;
    let open = openings(piece, &face_up(pose));
    Ok(bench.allowed(number)?.iter().any(|p| openings(piece, p) == open))
}

/// The same pose seen from the face that is up at home.
fn face_up(pose: &Pose) -> Pose {
    let over = pose.motions().first().is_some_and(|m| m.mirrored);
    if over { pose.moved(Motion::about_origin(true, Turn::NONE)) } else { pose.clone() }
}

/// The nearest allowed pose in which the hinge is a quarter turn on, block 0
/// standing where it is.
fn together(
    bench: &Bench,
    number: usize,
    pose: &Pose,
    hinge: usize,
    turn: Turn,
    moving: Vec<usize>,
) -> Result<MoveRecord, Refusal> {
    let piece = bench.piece(number)?;
    let over = pose.motions()[0].mirrored;
    let open = openings(piece, &face_up(pose));
    // The opening runs anticlockwise from the first joined block to the second;
    // in a loop the second is the one said to turn.
    let second = moving.is_empty() || moving.contains(&piece.hinges()[hinge].joins[1]);
    let grows = (turn.quarters() == 1) == (second != over);
    let wanted = if grows { open[hinge] + 1 } else { open[hinge] - 1 };
    let record = |after, how| MoveRecord { hinge, turn: turn.quarters(), moving, after, how, meet: None };
    if !(1..=3).contains(&wanted) {
        return Ok(record(None, "partner"));
    }
    let change = |p: &Pose| {
        let theirs = openings(piece, p);
        let apart = open.iter().zip(&theirs).map(|(a, b)| u32::from(a.abs_diff(*b)));
        let moved = apart.clone().filter(|&d| d > 0).count();
        (theirs[hinge] == wanted).then(|| (moved, apart.sum::<u32>()))
    };
    let nearest =
        bench.allowed(number)?.iter().filter_map(|p| Some((change(p)?, p))).min_by_key(|(change, _)| *change);
    let Some((_, nearest)) = nearest else { return Ok(record(None, "no pose")) };
    // Block 0 of an allowed pose is as at home; here it stays where it stands.
    let first = pose.motions()[0];
    Ok(record(Some(pose_record(&nearest.moved(first))), "together"))
}
