//! How a stone stands while something is waited for, one word a thing: the strip, the pour page and the board all take
//! theirs from here.

use super::words;
use crate::waits::{Kind, Standing, Wait};

/// How a stone stands between laying a layer and feeling it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// The resin levels.
    Settling,
    /// It has.
    Settled,
    /// The lamp is on.
    Lit,
    /// The lamp went off before all the light had fallen.
    Paused,
    /// All the light has fallen, and the lamp is not said to be off yet.
    LightOver,
    /// Stone and mould cool down.
    Cooling,
    /// They have.
    Cool,
}

impl State {
    /// How the stones of a wait stand.
    pub fn of(wait: &Wait) -> Self {
        Self::at(wait, wait.standing)
    }

    /// How they stand once it is over.
    pub fn once_over(wait: &Wait) -> Self {
        Self::at(wait, Standing::Over)
    }

    fn at(wait: &Wait, standing: Standing) -> Self {
        match (wait.kind, standing) {
            _ if wait.is_paused() => State::Paused,
            (Kind::Settle, Standing::Over) => State::Settled,
            (Kind::Settle, _) => State::Settling,
            (Kind::Light, Standing::Over) => State::LightOver,
            (Kind::Light, _) => State::Lit,
            (Kind::Cool, Standing::Over) => State::Cool,
            (Kind::Cool, _) => State::Cooling,
        }
    }

    /// The one word for it.
    pub const fn words(self) -> &'static str {
        match self {
            State::Settling => "settling",
            State::Settled => "settled",
            State::Lit => "under the lamp",
            State::Paused => "lamp paused",
            State::LightOver => "light is over",
            State::Cooling => "cooling",
            State::Cool => "cool enough",
        }
    }

    /// The same at the start of a sentence, with what is to be done: "Settled: put it under the lamp".
    pub fn then(self, what: &str) -> String {
        format!("{}: {what}", words::sentence_start(self.words()))
    }
}

#[cfg(test)]
mod tests {
    use craft::fact::{Hardness, PourFact, Press};
    use craft::stage::Stage;
    use craft::units::Span;

    use super::*;
    use crate::pouring::{self, Step};
    use crate::present::sample::{Bench, bench, id, usual_plan};
    use crate::present::{board, pour_words, strip};
    use crate::waits::waits;

    /// The lamp goes on over stone 1, as its first layer was planned; gives the entry.
    fn lamp_on(bench: &mut Bench) -> u32 {
        let seconds = usual_plan().layers[0].seconds;
        let press = Press { lamp: id("nail-lamp"), button: 1, seconds, ramp: Span::ZERO };
        bench.record(PourFact::LampOn { stones: vec![1], press });
        bench.studio.order(bench.tag).unwrap().order.log.len()
    }

    /// What the strip, the row of stones, the large words and the board say of stone 1.
    fn said(bench: &Bench) -> [String; 4] {
        let (studio, now) = (&bench.studio, bench.now());
        let held = studio.order(bench.tag).unwrap();
        let waits = waits(studio, now);
        let wait = waits.iter().find(|wait| wait.stones.contains(&1)).expect("stone 1 waits");
        let step = pouring::step(studio, held, 1, now);
        let words = pour_words::step(studio, held, 1, &step);
        let row = board::row(studio, held, now);
        [strip::wait(studio, wait).what, pour_words::short(&step), words.title.to_lowercase(), row.action]
    }

    #[test]
    fn a_lamp_that_is_paused_is_called_so_on_the_strip_the_page_and_the_board() {
        let mut bench = bench(Stage::Here);
        bench.begin(1, "A1");
        let on = lamp_on(&mut bench);
        let lit = Span::from_s(20.0);
        bench.record(PourFact::LampOff { on, lit });
        let all = said(&bench);
        assert!(all.iter().all(|words| words.contains(State::Paused.words())), "{all:?}");
        let waits = waits(&bench.studio, bench.now());
        let shown = strip::wait(&bench.studio, &waits[0]);
        assert!(shown.digits.starts_with("20 of ") && shown.digits.ends_with(" s"), "{shown:?}");
        assert_eq!(strip::hands(&bench.studio, &waits).as_deref(), Some("hands wanted now"));
        assert_eq!(
            board::row(&bench.studio, bench.studio.order(bench.tag).unwrap(), bench.now()).group,
            board::Group::Hands
        );
        // Left at that it cools like any other.
        bench.record(PourFact::Cooled { stones: vec![1] });
        bench.record(PourFact::Felt { stone: 1, layer: 1, hardness: Hardness::Hard });
        assert!(!crate::waits::is_paused(bench.studio.order(bench.tag).unwrap(), 1));
    }

    #[test]
    fn light_that_is_over_and_a_layer_that_cools_are_called_the_same_everywhere() {
        let mut bench = bench(Stage::Here);
        bench.begin(1, "A1");
        let on = lamp_on(&mut bench);
        let group = |bench: &Bench| {
            board::row(&bench.studio, bench.studio.order(bench.tag).unwrap(), bench.now()).group
        };
        let all = said(&bench);
        assert!(all.iter().all(|words| words.contains(State::Lit.words())), "{all:?}");
        assert_eq!(group(&bench), board::Group::Lamp);
        // Five minutes on.
        let passes = |bench: &mut Bench| {
            bench.record(craft::fact::ClientFact::MessageSent {
                about: craft::fact::MessageKind::ArrivedSafely,
            });
        };
        passes(&mut bench);
        let all = said(&bench);
        assert!(all.iter().all(|words| words.contains(State::LightOver.words())), "{all:?}");
        assert_eq!(group(&bench), board::Group::Hands, "the strip wants hands now");
        let press = match pouring::step(&bench.studio, bench.studio.order(bench.tag).unwrap(), 1, bench.now())
        {
            Step::Lit(wait) | Step::LightOver(wait) => wait.planned,
            other => panic!("{other:?}"),
        };
        bench.record(PourFact::LampOff { on, lit: press });
        let [strip, row, _, board] = said(&bench);
        for words in [strip, row, board] {
            assert!(words.contains("cooling"), "{words}");
        }
        assert_eq!(group(&bench), board::Group::Lamp);
        passes(&mut bench);
        let [strip, row, _, board] = said(&bench);
        for words in [strip, row, board] {
            assert!(words.contains(State::Cool.words()), "{words}");
        }
        assert_eq!(group(&bench), board::Group::Hands);
    }

    #[test]
    fn a_wait_that_is_over_is_named_alike_in_the_strip_and_on_the_page() {
        let (settled, over) = (State::Settled.words(), State::LightOver.words());
        assert_eq!(State::Settled.then("put it under the lamp"), "Settled: put it under the lamp");
        assert_eq!((settled, over), ("settled", "light is over"));
    }
}
