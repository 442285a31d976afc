//! The board: every order by its next action. Beside the bench it is a narrow list; alone, a wide one.

use std::rc::Rc;

use craft::id::ThingKind;
use craft::order::Page;
use craft::tag::Tag;
use egui::text::{CCursor, CCursorRange};
use egui::text_edit::TextEditState;
use egui::{Id, Rect, ScrollArea, Sense, TextEdit, Ui, Vec2, WidgetInfo, pos2, vec2};
use workbench::action::{Action, Job, Nav};
use workbench::present::board::{Board, BoardRow, StoneMark};
use workbench::present::find::Hit;
use workbench::present::finding_words;
use workbench::present::tag_words::{self, Label};
use workbench::present::words;
use workbench::view::View;

use super::{Desk, Over};
use crate::cx::Wish;
use crate::draw;
use crate::look::{Face, Tokens, space};
use crate::widgets::{gap, link, say, sentence};
use workbench::present::labels::{board as running, keeping, shell as labels, trying};

/// The find field's id, so that a key can go to it.
pub(super) const FIND: &str = "find";
const GROUP_HEIGHT: f32 = 40.0;
/// The room for the ways over the board alone, in points.
const WAYS: f32 = 700.0;
/// Narrower than this the ways stand under the find field, in points.
const HEAD: f32 = WAYS + 240.0;

/// The board beside the bench.
pub(super) fn side_ui(ui: &mut Ui, desk: &mut Desk, view: &View<'_>, wishes: &mut Vec<Wish>) {
    ui.with_layout(egui::Layout::bottom_up(egui::Align::LEFT), |ui| {
        gap(ui, space::STEP);
        ways_ui(ui, desk, wishes, false);
        ui.with_layout(egui::Layout::top_down(egui::Align::LEFT), |ui| {
            find_ui(ui, desk, view, wishes);
            gap(ui, space::STEP);
            quiet_ui(ui, desk, view, wishes, false);
            list_ui(ui, desk, view, wishes, false);
        });
    });
}

/// The board alone.
pub(super) fn whole_ui(ui: &mut Ui, desk: &mut Desk, view: &View<'_>, wishes: &mut Vec<Wish>) {
    let width = ui.available_width();
    if width < HEAD {
        find_ui(ui, desk, view, wishes);
        gap(ui, space::STEP);
        ways_ui(ui, desk, wishes, true);
    } else {
        ui.horizontal(|ui| {
            ui.scope(|ui| {
                ui.set_width((width - WAYS).min(420.0));
                find_ui(ui, desk, view, wishes);
            });
            let from_right = egui::Layout::right_to_left(egui::Align::Center);
            ui.with_layout(from_right, |ui| ways_ui(ui, desk, wishes, true));
        });
    }
    gap(ui, 2.0 * space::STEP);
    quiet_ui(ui, desk, view, wishes, true);
    list_ui(ui, desk, view, wishes, true);
}

/// What is to be known of the studio as a whole, one quiet line each: what does not hold together, how far the reading
/// of orders is, and over the board alone that a backup is wanted.
fn quiet_ui(ui: &mut Ui, desk: &mut Desk, view: &View<'_>, wishes: &mut Vec<Wish>, alone: bool) {
    let tokens = Tokens::of(ui);
    let mut any = false;
    if let Some(words) = finding_words::not_together(view.findings().len()) {
        any = true;
        sentence(ui, |ui| {
            say(ui, Face::Strong, tokens.care, keeping::NOT_WELL);
            if link(ui, &words).clicked() {
                desk.keep.leave_earlier();
                wishes.push(Wish::Act(Action::Go(Nav::Keeping)));
            }
        });
    }
    if let (Some(reading), Some(words)) = (view.reading(), view.reading_words()) {
        any = true;
        sentence(ui, |ui| {
            say(ui, Face::Second, tokens.ink_2, words::sentence(&words));
            match reading.job {
                Some(id) => {
                    if link(ui, keeping::READ_NO_MORE).clicked() {
                        wishes.push(Wish::Act(Action::Cancel(id)));
                    }
                }
                None => {
                    if link(ui, keeping::READ_ON).clicked() {
                        wishes.push(Wish::Act(Action::Start(Job::ReadOrders)));
                    }
                }
            }
        });
    }
    if alone && let Some(words) = desk.keep.reminder(view).map(words::sentence) {
        any = true;
        sentence(ui, |ui| {
            say(ui, Face::Second, tokens.ink_2, words);
            if link(ui, keeping::BACKUP_WAY).clicked() {
                desk.keep.leave_earlier();
                wishes.push(Wish::Act(Action::Go(Nav::Keeping)));
            }
        });
    }
    if any {
        gap(ui, 2.0 * space::STEP);
    }
}

/// In a narrow window: the way back to the board, with the find field.
pub(super) fn narrow_ui(ui: &mut Ui, desk: &mut Desk, wishes: &mut Vec<Wish>) {
    ui.horizontal(|ui| {
        if link(ui, labels::ORDERS).clicked() {
            wishes.push(Wish::Act(Action::Go(Nav::Board)));
        }
        if link(ui, labels::FIND).clicked() {
            desk.to_find = true;
            wishes.push(Wish::Act(Action::Go(Nav::Board)));
        }
        if link(ui, labels::SHELF).clicked() {
            wishes.push(Wish::Act(Action::Go(Nav::Shelf)));
        }
        keeping_ui(ui, desk, wishes);
        preferences_ui(ui, desk);
    });
    gap(ui, space::STEP);
}

/// The way to safe keeping.
fn keeping_ui(ui: &mut Ui, desk: &mut Desk, wishes: &mut Vec<Wish>) {
    if link(ui, keeping::WAY).clicked() {
        desk.keep.leave_earlier();
        wishes.push(Wish::Act(Action::Go(Nav::Keeping)));
    }
}

/// The ways that are always there; over the board alone there is room for the orders that were under way before, and
/// beside the bench they take two lines.
fn ways_ui(ui: &mut Ui, desk: &mut Desk, wishes: &mut Vec<Wish>, alone: bool) {
    if alone {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 18.0;
            orders_ways_ui(ui, desk, wishes, alone);
            keeping_ui(ui, desk, wishes);
            preferences_ui(ui, desk);
        });
        return;
    }
    // From below upwards.
    ui.scope(|ui| {
        ui.spacing_mut().interact_size.y = 26.0;
        ui.spacing_mut().item_spacing = vec2(18.0, space::TIGHT);
        ui.horizontal(|ui| {
            keeping_ui(ui, desk, wishes);
            preferences_ui(ui, desk);
        });
        ui.horizontal(|ui| orders_ways_ui(ui, desk, wishes, alone));
        gap(ui, space::STEP);
    });
}

fn orders_ways_ui(ui: &mut Ui, desk: &mut Desk, wishes: &mut Vec<Wish>, alone: bool) {
    if link(ui, labels::NEW_ORDER).clicked() {
        desk.over = Some(Over::NewOrder);
    }
    if alone && link(ui, running::RUNNING).clicked() {
        desk.over = Some(Over::Running);
    }
    // Over the board alone that way leads nowhere.
    if !alone && link(ui, labels::ORDERS).clicked() {
        wishes.push(Wish::Act(Action::Go(Nav::Board)));
    }
    if link(ui, labels::SHELF).clicked() {
        wishes.push(Wish::Act(Action::Go(Nav::Shelf)));
    }
    if alone && !desk.narrow && link(ui, trying::WAY).clicked() {
        wishes.push(Wish::Act(Action::Go(Nav::TryOut)));
    }
}

fn preferences_ui(ui: &mut Ui, desk: &mut Desk) {
    if link(ui, labels::PREFERENCES).clicked() {
        desk.over = Some(Over::Preferences);
    }
}

fn find_ui(ui: &mut Ui, desk: &mut Desk, view: &View<'_>, wishes: &mut Vec<Wish>) {
    let tokens = Tokens::of(ui);
    let hint = egui::RichText::new(labels::FIND_HINT).font(Face::Body.font()).color(tokens.ink_3);
    let edit = TextEdit::singleline(&mut desk.find)
        .id(Id::unique(FIND))
        .hint_text(hint)
        .font(Face::Body.font())
        .margin(egui::Margin::symmetric(12, 8))
        .desired_width(ui.available_width());
    let response = ui.add(edit).accessible_name(labels::FIND_NAME);
    if std::mem::take(&mut desk.to_find) {
        response.request_focus();
        // What was looked for before is typed over.
        let all = CCursorRange::two(CCursor::new(0), CCursor::new(desk.find.chars().count()));
        let mut state = TextEditState::load(ui.ctx(), response.id).unwrap_or_default();
        state.cursor.set_char_range(Some(all));
        state.store(ui.ctx(), response.id);
    }
    if response.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter)) {
        if let Some(hit) = hits(desk, view).first() {
            open_hit(wishes, desk, view, hit.tag);
            desk.find.clear();
        }
    } else if response.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Escape)) {
        // The field has lost the keyboard by that key before it is shown.
        desk.find.clear();
    }
}

/// What was found last, and for what: it is looked for again only where the text or the studio is another one.
#[derive(Debug, Default)]
pub(super) struct Found {
    text: String,
    revision: u64,
    hits: Rc<[Hit]>,
}

impl Found {
    fn hits(&mut self, text: &str, revision: u64, find: impl FnOnce(&str) -> Vec<Hit>) -> Rc<[Hit]> {
        if self.text != text || self.revision != revision {
            *self = Self { text: text.to_owned(), revision, hits: find(text).into() };
        }
        Rc::clone(&self.hits)
    }
}

fn hits(desk: &mut Desk, view: &View<'_>) -> Rc<[Hit]> {
    // Of a whole label the tag says which order it is.
    let find = |text: &str| match tag_words::label(text) {
        Ok(Label { tag, thing: Some(_) }) => view.find(&tag.to_string()),
        _ => view.find(text),
    };
    desk.found.hits(&desk.find, view.revision, find)
}

/// Opens what was found; by the label of a stone, that stone.
fn open_hit(wishes: &mut Vec<Wish>, desk: &Desk, view: &View<'_>, tag: Tag) {
    let label = tag_words::label(&desk.find).ok().filter(|label| label.tag == tag);
    match label.and_then(|label| label.thing).filter(|thing| thing.kind == ThingKind::Stone) {
        Some(stone) => {
            open(wishes, tag, Page::Pour);
            wishes.push(Wish::Stone(tag, stone.no));
        }
        None => open(wishes, tag, page_of(view, tag)),
    }
}

fn page_of(view: &View<'_>, tag: Tag) -> Page {
    view.board.row(tag).map_or(Page::Brief, |row| row.page)
}

fn open(wishes: &mut Vec<Wish>, tag: Tag, page: Page) {
    wishes.push(Wish::Act(Action::Go(Nav::Bench(tag, page))));
}

fn list_ui(ui: &mut Ui, desk: &mut Desk, view: &View<'_>, wishes: &mut Vec<Wish>, wide: bool) {
    let opened = match view.nav {
        Nav::Bench(tag, _) => Some(tag),
        Nav::Board | Nav::Shelf | Nav::TryOut | Nav::Keeping => None,
    };
    if desk.find.trim().is_empty() {
        if view.board.rows.is_empty() {
            gap(ui, space::BLOCK);
            empty_ui(ui, desk, wide);
            return;
        }
        groups_ui(ui, view, opened, wide, wishes);
    } else {
        hits_ui(ui, desk, view, opened, wishes);
    }
}

/// A board without orders: how one begins, and where those belong that are under way already.
fn empty_ui(ui: &mut Ui, desk: &mut Desk, wide: bool) {
    let tokens = Tokens::of(ui);
    say(ui, Face::Body, tokens.ink_2, Board::EMPTY);
    if !wide {
        return;
    }
    gap(ui, 2.0 * space::STEP);
    sentence(ui, |ui| {
        say(ui, Face::Body, tokens.ink_2, running::EMPTY_RUNNING);
        if link(ui, running::ENTER).clicked() {
            desk.over = Some(Over::Running);
        }
    });
}

fn hits_ui(ui: &mut Ui, desk: &mut Desk, view: &View<'_>, opened: Option<Tag>, wishes: &mut Vec<Wish>) {
    let hits = hits(desk, view);
    let tokens = Tokens::of(ui);
    let unread = view.find_words(hits.len());
    if hits.is_empty() {
        gap(ui, space::BLOCK);
        let words =
            unread.map_or_else(|| labels::nothing_found(desk.find.trim()), |words| words::sentence(&words));
        say(ui, Face::Body, tokens.ink_2, words);
        return;
    }
    if let Some(words) = unread {
        say(ui, Face::Second, tokens.ink_2, words::sentence(&words));
    }
    let width = ui.available_width();
    ScrollArea::vertical().id_salt("hits").auto_shrink(false).show_rows(
        ui,
        space::BOARD_ROW,
        hits.len(),
        |ui, range| {
            for hit in hits.get(range).unwrap_or_default() {
                let second = if hit.by.is_empty() { labels::for_client(&hit.client) } else { hit.by.clone() };
                let words = RowWords { name: &hit.name, second: &second, end: "", tag: hit.tag };
                let (rect, _) = ui.allocate_exact_size(vec2(width, space::BOARD_ROW), Sense::hover());
                if row_ui(ui, rect, opened == Some(hit.tag), &words, &[], None) {
                    open_hit(wishes, desk, view, hit.tag);
                    desk.find.clear();
                }
            }
        },
    );
}

/// All groups, of which only the rows in sight are touched.
fn groups_ui(ui: &mut Ui, view: &View<'_>, opened: Option<Tag>, wide: bool, wishes: &mut Vec<Wish>) {
    let groups: Vec<_> = view.board.groups().collect();
    let height: f32 =
        groups.iter().map(|(_, rows)| GROUP_HEIGHT + 12.0 + rows.len() as f32 * space::BOARD_ROW).sum();
    ScrollArea::vertical().id_salt("board").auto_shrink(false).show_viewport(ui, |ui, seen| {
        let width = ui.available_width();
        ui.set_height(height);
        ui.set_width(width);
        let origin = ui.min_rect().min;
        let at = |y: f32, h: f32| Rect::from_min_size(pos2(origin.x, origin.y + y), vec2(width, h));
        let mut y = 0.0;
        for (group, rows) in groups {
            if y + GROUP_HEIGHT >= seen.min.y && y <= seen.max.y {
                title_ui(ui, at(y, GROUP_HEIGHT), group.title());
            }
            y += GROUP_HEIGHT;
            // One row more on each side, so that the keyboard can step into what is just out of sight.
            let first = whole_rows(seen.min.y - y).saturating_sub(1).min(rows.len());
            let last = (whole_rows(seen.max.y - y) + 2).min(rows.len());
            for (place, row) in rows.iter().enumerate().take(last).skip(first) {
                let rect = at(y + place as f32 * space::BOARD_ROW, space::BOARD_ROW);
                if board_row_ui(ui, rect, opened == Some(row.tag), row, wide) {
                    open(wishes, row.tag, row.page);
                }
            }
            y += rows.len() as f32 * space::BOARD_ROW + 12.0;
        }
    });
}

/// How many whole rows lie above a height.
fn whole_rows(height: f32) -> usize {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a height in points, floored above nothing"
    )]
    let rows = (height / space::BOARD_ROW).floor().max(0.0) as usize;
    rows
}

fn title_ui(ui: &Ui, rect: Rect, words: &str) {
    let tokens = Tokens::of(ui);
    let at = rect.left_bottom() - vec2(0.0, 8.0);
    ui.painter().text(at, egui::Align2::LEFT_BOTTOM, words, Face::SecondStrong.font(), tokens.ink_2);
}

struct RowWords<'a> {
    name: &'a str,
    second: &'a str,
    end: &'a str,
    tag: Tag,
}

fn board_row_ui(ui: &Ui, rect: Rect, chosen: bool, row: &BoardRow, wide: bool) -> bool {
    // Beside the bench there is room for the day alone.
    let day = row.due_on.map(words::day_short).filter(|_| !row.due.is_empty()).unwrap_or_default();
    let end = if wide { &row.due } else { &day };
    let words = RowWords { name: &row.name, second: &row.action, end, tag: row.tag };
    let more = wide.then_some([row.client.as_str(), row.stage_words]);
    row_ui(ui, rect, chosen, &words, &row.stones, more)
}

/// One row in its place; true where it was pressed.
fn row_ui(
    ui: &Ui,
    rect: Rect,
    chosen: bool,
    words: &RowWords<'_>,
    stones: &[StoneMark],
    more: Option<[&str; 2]>,
) -> bool {
    let tokens = Tokens::of(ui);
    let tag = words.tag.to_string();
    let response = ui.interact(rect, Id::unique(("row", tag.as_str())), Sense::click());
    // Two orders may be in memory of one name and wait for the same: the tag tells them apart.
    let name = format!("{}, {}, {tag}", words.name, words.second);
    response.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, chosen, name.as_str()));
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    let painter = ui.painter();
    let focused = response.has_focus();
    if chosen || focused || response.hovered() {
        let fill = if chosen || focused { tokens.raised } else { tokens.tint };
        let edge = if focused { egui::Stroke::new(1.5, tokens.accent) } else { tokens.hairline() };
        painter.rect(rect, space::RADIUS_WIDE, fill, edge, egui::StrokeKind::Inside);
    }
    let inner = rect.shrink2(vec2(8.0, 4.0));
    let wide = more.is_some();
    let pictures = if wide && rect.width() >= PICTURES { 3.0 * 46.0 } else { 44.0 };
    let picture = Rect::from_min_size(inner.min, vec2(pictures, inner.height()));
    stones_in(painter, picture, stones, tokens);
    let columns = Columns::of(inner, picture.right() + 12.0, wide);
    let put = |at: Rect, words: &str, face: Face, ink, lines: usize| {
        let mut job = egui::text::LayoutJob::simple(words.to_owned(), face.font(), ink, at.width());
        job.wrap.max_rows = lines;
        painter.layout_job(job)
    };
    let end = painter.layout_no_wrap(words.end.to_owned(), Face::Second.font(), tokens.ink_3);
    let mut text = columns.text;
    if more.is_none() {
        text.max.x -= end.size().x + 8.0;
    }
    let title = put(text, words.name, Face::Strong, tokens.ink, 1);
    let second = put(text, words.second, Face::Second, tokens.ink_2, 2);
    let top = rect.center().y - f32::midpoint(title.size().y, second.size().y);
    let under = top + title.size().y;
    painter.galley(pos2(text.left(), top), title, tokens.ink);
    painter.galley(pos2(text.left(), under), second, tokens.ink_2);
    painter.galley(
        pos2(inner.right() - end.size().x, rect.center().y - end.size().y / 2.0),
        end,
        tokens.ink_3,
    );
    if let Some([client, stage]) = more {
        let all = [(columns.client, client), (columns.tag, tag.as_str()), (columns.stage, stage)];
        for (at, words) in all.into_iter().filter_map(|(at, words)| at.map(|at| (at, words))) {
            let galley = put(at, words, Face::Body, tokens.ink_2, 1);
            painter.galley(pos2(at.left(), rect.center().y - galley.size().y / 2.0), galley, tokens.ink_2);
        }
    }
    response.clicked()
}

/// Where the words of a row stand; what there is no room for falls away.
#[derive(Debug)]
struct Columns {
    text: Rect,
    client: Option<Rect>,
    tag: Option<Rect>,
    stage: Option<Rect>,
}

/// From this width of a row on it shows three stones, in points.
const PICTURES: f32 = 860.0;
/// The room for the day of a promise, at the end of a row.
const DUE: f32 = 140.0;
/// The least that is left for the name and the next action.
const TEXT: f32 = 250.0;
/// What the others want at least, the most important first: whose order it is, its tag, and its stage, which the next
/// action says already.
const CLIENT: f32 = 170.0;
const TAG: f32 = 92.0;
const STAGE: f32 = 96.0;

impl Columns {
    fn of(row: Rect, left: f32, wide: bool) -> Self {
        let span = |from: f32, to: f32| Rect::from_x_y_ranges(from..=to.max(from + 1.0), row.y_range());
        if !wide {
            return Self { text: span(left, row.right()), client: None, tag: None, stage: None };
        }
        let mut right = row.right() - DUE;
        let spare = right - left - TEXT;
        let (client, tag, stage) = (spare >= CLIENT, spare >= CLIENT + TAG, spare >= CLIENT + TAG + STAGE);
        let mut take = |there: bool, width: f32| {
            there.then(|| {
                right -= width;
                span(right, right + width - 12.0)
            })
        };
        let stage = take(stage, STAGE);
        let tag = take(tag, TAG);
        // What is left over is shared between the two that want it.
        let more = (spare - CLIENT - TAG - STAGE).max(0.0) * 0.3;
        let client = take(client, CLIENT + more);
        Self { text: span(left, right - 8.0), client, tag, stage }
    }
}

/// The stones of an order side by side, as many as there is room for; all to one scale.
fn stones_in(painter: &egui::Painter, rect: Rect, stones: &[StoneMark], tokens: &Tokens) {
    let side = Vec2::new(44.0, rect.height());
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few stones at most")]
    let room = ((rect.width() / 46.0).floor().max(1.0)) as usize;
    // Where there is room for one only, it is the chosen one.
    let first = if room == 1 { stones.iter().position(|stone| stone.chosen).unwrap_or(0) } else { 0 };
    for (place, stone) in stones.iter().skip(first).take(room).enumerate() {
        let at = Rect::from_min_size(pos2(rect.left() + place as f32 * 46.0, rect.top()), side);
        draw::stone::stone_in(painter, tokens, at.shrink2(vec2(3.0, 8.0)), &stone.into());
    }
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;

    use super::*;

    #[test]
    fn columns_fall_away_by_importance_and_never_lie_over_each_other() {
        let mut before = 4;
        for width in (240..=1_600_u16).rev() {
            let row = Rect::from_min_size(pos2(0.0, 0.0), vec2(f32::from(width), 52.0));
            let Columns { text, client, tag, stage } = Columns::of(row, 64.0, true);
            let there = [stage, tag, client].map(|column| column.is_some());
            assert!(there.is_sorted(), "the stage goes first, the client last: {there:?} at {width}");
            let now = there.iter().filter(|there| **there).count();
            assert!(now <= before);
            before = now;
            let mut right = text.right();
            for column in [client, tag, stage].into_iter().flatten() {
                assert!(column.left() >= right, "{width}");
                right = column.right();
            }
            if client.is_some() {
                assert!(text.width() >= TEXT - 8.1 && right <= row.right() - DUE, "{width}");
            }
        }
        assert_eq!(before, 0, "in the end only the name and the next action are left");
    }

    #[test]
    fn what_was_found_is_looked_for_again_only_after_a_letter_or_a_change() {
        let searches = Cell::new(0);
        let find = |text: &str| {
            searches.set(searches.get() + 1);
            let tag = Tag::from_number(searches.get()).unwrap();
            vec![Hit { tag, name: text.to_owned(), client: String::new(), by: String::new() }]
        };
        let mut found = Found::default();
        let first = found.hits("ada", 0, find);
        for _ in 0..100 {
            assert!(Rc::ptr_eq(&first, &found.hits("ada", 0, find)), "a frame alone costs nothing");
        }
        assert_eq!(searches.get(), 1);
        assert_eq!(found.hits("adam", 0, find)[0].name, "adam");
        assert_ne!(found.hits("adam", 1, find)[0].tag, found.hits("adam", 2, find)[0].tag);
        assert_eq!(searches.get(), 4);
    }
}
