//! A slider with its value beside it: moved by the pointer and the arrow keys, or typed.

use std::ops::RangeInclusive;

use egui::{Slider, Ui};
use workbench::typed::Typed;

use super::{Drafts, Field, read};
use crate::look::{Tokens, space};

/// The room for the value.
const VALUE: f32 = 110.0;

/// A slider over `range` in steps of `step`, and the value as `shown`, which may be typed too. Gives what the value
/// became: a slid one through `at`, a typed one through `reader`.
pub fn slide<T>(
    ui: &mut Ui,
    drafts: &mut Drafts,
    field: Field<'_>,
    (now, range, step): (f64, RangeInclusive<f64>, f64),
    shown: &str,
    (at, reader): (impl Fn(f64) -> T, impl Fn(&str) -> Result<Typed<T>, String>),
) -> Option<T> {
    let mut value = now;
    let mut slid = None;
    let mut typed = None;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 3.0 * space::STEP;
        typed = read(ui, drafts, field.wide(VALUE), shown, reader);
        ui.vertical(|ui| {
            ui.add_space(6.0 * space::STEP);
            // The rail in the colour of lines: by day a raised ground is hardly seen on the page.
            ui.visuals_mut().widgets.inactive.bg_fill = Tokens::of(ui).line;
            ui.spacing_mut().slider_width = (ui.available_width() - 2.0 * space::STEP).clamp(80.0, 420.0);
            let slider = Slider::new(&mut value, range).step_by(step).show_value(false).trailing_fill(true);
            let response = ui.add(slider).accessible_name(format!("{}, slider", field.label));
            // A slider brings what was typed between two of its steps to the nearer one at each look; that is no hand's
            // doing, and would stand in the way of whatever is typed next.
            let by_hand = response.dragged() || response.clicked() || (value - now).abs() > 0.51 * step;
            if response.changed() && by_hand {
                slid = Some(at(value));
            }
        });
    });
    slid.or(typed)
}
