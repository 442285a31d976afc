//! Controls side by side, each in a column of its own, broken into rows where the page ends.

use egui::{Align, Layout, Ui, vec2};

use crate::look::space;

/// Between two columns of a page.
const BETWEEN: f32 = 40.0;
/// Below this width the columns of a page stand under each other.
const TWO: f32 = 700.0;

/// Puts cells of these widths in points side by side, top edges level; 0 is all the room there is left in its row.
/// `add` is called once for each, with its place.
pub fn cells(ui: &mut Ui, widths: &[f32], mut add: impl FnMut(&mut Ui, usize)) {
    let room = ui.available_width();
    let mut next = 0;
    while next < widths.len() {
        let row = row_of(widths.get(next..).unwrap_or_default(), room);
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = space::ROW;
            for (place, width) in row.iter().enumerate() {
                column(ui, *width, |ui| add(ui, next + place));
            }
        });
        next += row.len();
        if next < widths.len() {
            ui.add_space(space::STEP);
        }
    }
}

/// Words and links in one line, as close to the next line as words are; it breaks where the page ends.
pub fn sentence(ui: &mut Ui, add: impl FnOnce(&mut Ui)) {
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0 * space::STEP;
        // As high as a link, so that words before one stand level with it.
        ui.spacing_mut().interact_size.y = LINK;
        ui.horizontal_wrapped(add);
    });
}

/// The height of a link.
const LINK: f32 = 26.0;

/// The widths of the first row: as many as there is room for, at least one.
fn row_of(widths: &[f32], room: f32) -> Vec<f32> {
    let mut row: Vec<f32> = Vec::new();
    let mut left = room;
    for width in widths {
        let between = if row.is_empty() { 0.0 } else { space::ROW };
        let least = if *width > 0.0 { *width } else { LEAST };
        if !row.is_empty() && least + between > left {
            break;
        }
        let width = if *width > 0.0 { width.min(room) } else { left - between };
        row.push(width);
        left -= width + between;
    }
    row
}

/// The narrowest that a cell without a width of its own gets.
const LEAST: f32 = 160.0;

fn column(ui: &mut Ui, width: f32, add: impl FnOnce(&mut Ui)) {
    ui.allocate_ui_with_layout(vec2(width, 0.0), Layout::top_down(Align::LEFT), |ui| {
        ui.set_width(width);
        // What keeps the columns apart is not what keeps things apart within one.
        ui.spacing_mut().item_spacing.x = 2.0 * space::STEP;
        add(ui);
    });
}

/// One of the two columns of a page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Column {
    /// The one that is read first.
    First,
    /// The other.
    Second,
}

/// Two columns where there is room for them, else the second under the first. `share` is the part of the width that
/// the first one takes.
pub fn columns(ui: &mut Ui, share: f32, mut add: impl FnMut(&mut Ui, Column)) {
    let room = ui.available_width();
    if room < TWO {
        add(ui, Column::First);
        ui.add_space(space::BLOCK);
        add(ui, Column::Second);
        return;
    }
    let room = room.min(space::READING) - BETWEEN;
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = BETWEEN;
        column(ui, (room * share).floor(), |ui| add(ui, Column::First));
        column(ui, (room * (1.0 - share)).floor(), |ui| add(ui, Column::Second));
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_that_do_not_fit_begin_a_row_of_their_own() {
        assert_eq!(row_of(&[200.0, 200.0, 200.0], 430.0), [200.0, 200.0]);
        assert_eq!(row_of(&[200.0, 200.0, 200.0], 640.0).len(), 3);
        assert_eq!(row_of(&[500.0, 90.0], 320.0), [320.0], "one that is too wide takes all there is");
    }

    #[test]
    fn a_cell_without_a_width_takes_what_is_left() {
        assert_eq!(row_of(&[200.0, 0.0], 512.0), [200.0, 300.0]);
        assert_eq!(row_of(&[400.0, 0.0], 512.0), [400.0], "too little is left, so it begins a row");
        assert_eq!(row_of(&[0.0], 512.0), [512.0]);
    }
}
