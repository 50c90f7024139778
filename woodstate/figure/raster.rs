//! Many points as one picture: a drawing stays small, and its text stays text.

use crate::error::Result;

use super::export;
use super::palette::WHITE;
use super::scene::{Group, Mark, Scene};
use super::svg::{Told, svg};

/// Points of a group above which they become a picture.
const MOST: usize = 20_000;

/// Pixels across at most, and a hundredth of a millimetre in pixels of 600 dots per inch.
const WIDEST: f64 = 2400.0;
const FINE: f64 = 600.0 / 2540.0;

/// The drawing with a picture in place of each group of very many points.
pub(super) fn with_pictures(mut scene: Scene) -> Result<Scene> {
    for place in 0..scene.groups.len() {
        let n: usize = scene.groups[place].marks.iter().map(points).sum();
        if n > MOST {
            let (points, others): (Vec<Mark>, Vec<Mark>) =
                std::mem::take(&mut scene.groups[place].marks).into_iter().partition(|mark| points(mark) > 0);
            let group = Group { marks: points, ..scene.groups[place].clone() };
            let bytes = picture(&scene, group)?;
            scene.groups[place].marks = others;
            scene.groups[place].marks.push(Mark::Picture { size: scene.size, base64: base64(&bytes) });
        }
    }
    Ok(scene)
}

fn points(mark: &Mark) -> usize {
    if let Mark::Points { at, .. } = mark { at.len() } else { 0 }
}

/// The points alone on a clear ground, as large as the drawing.
fn picture(scene: &Scene, group: Group) -> Result<Vec<u8>> {
    let alone = Scene { size: scene.size, ground: None, groups: vec![group] };
    let told = Told { prefix: "points-", title: "", description: "" };
    export::pixels(&svg(&alone, &told), FINE.min(WIDEST / scene.size[0]))
}

impl Scene {
    /// A drawing on white.
    pub(super) fn on_white(size: super::scene::Spot, groups: Vec<Group>) -> Self {
        Self { size, ground: Some(WHITE), groups }
    }
}

/// Bytes as text.
///
/// Source: RFC 4648, section 4; the test has the examples of its section 10.
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for three in bytes.chunks(3) {
        let byte = |place: usize| u32::from(three.get(place).copied().unwrap_or(0));
        let whole = byte(0) << 16 | byte(1) << 8 | byte(2);
        for place in 0..4 {
            let letter = usize::try_from(whole >> (18 - 6 * place) & 63).unwrap_or(0);
            text.push(if place <= three.len() { char::from(LETTERS[letter]) } else { '=' });
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::base64;

    /// Source: RFC 4648, section 10.
    #[test]
    fn bytes_become_the_text_of_the_standard() {
        let cases =
            [("", ""), ("f", "Zg=="), ("fo", "Zm8="), ("foo", "Zm9v"), ("foob", "Zm9vYg=="), ("foobar", "Zm9vYmFy")];
        cases.iter().for_each(|(bytes, text)| assert_eq!(base64(bytes.as_bytes()), *text));
    }
}
