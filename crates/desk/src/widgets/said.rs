//! Fields of a person's own words, and values that may be left empty.

use std::fmt::Display;
use std::str::FromStr;

use egui::{InputState, Key, Modifiers, Ui};
use workbench::typed::Typed;

use super::drafts::Drafts;
use super::fields::{Field, area, line, read};
use super::parts::wrong;

/// A line of words: gives them once Enter is pressed or the field is left. Words that cannot be kept stay in the field,
/// with what would be right under it.
pub fn words<T>(ui: &mut Ui, drafts: &mut Drafts, field: Field<'_>, now: &T) -> Option<T>
where
    T: FromStr<Err: Display> + Display,
{
    kept(ui, drafts, field, now, line)
}

/// Several lines of words, as [`words`].
pub fn text<T>(ui: &mut Ui, drafts: &mut Drafts, field: Field<'_>, now: &T) -> Option<T>
where
    T: FromStr<Err: Display> + Display,
{
    kept(ui, drafts, field, now, area)
}

/// One line that may be long, as [`words`]: it is broken where the field ends, so that all of it is seen.
pub fn long_words<T>(ui: &mut Ui, drafts: &mut Drafts, field: Field<'_>, now: &T) -> Option<T>
where
    T: FromStr<Err: Display> + Display,
{
    kept(ui, drafts, field.rows(1), now, |ui, drafts, field, now| {
        // Enter hands the line in. The field never sees it, or it would put a break over what is marked.
        let id = drafts.id(field.key);
        let entered = ui.memory(|memory| memory.has_focus(id)) && ui.input_mut(take_enter);
        let said = area(ui, drafts, field, now);
        let said = if entered && said.is_none() { drafts.take(field.key) } else { said };
        // A pasted break is a space.
        if drafts.text(field.key).contains('\n') {
            let text = one_line(drafts.text(field.key));
            drafts.put(field.key, text);
        }
        said.map(|said| one_line(&said)).filter(|said| said != now)
    })
}

fn take_enter(input: &mut InputState) -> bool {
    [Modifiers::NONE, Modifiers::SHIFT].into_iter().any(|with| input.consume_key(with, Key::Enter))
}

fn one_line(text: &str) -> String {
    text.replace("\r\n", " ").replace('\n', " ")
}

fn kept<T>(
    ui: &mut Ui,
    drafts: &mut Drafts,
    field: Field<'_>,
    now: &T,
    show: impl FnOnce(&mut Ui, &mut Drafts, Field<'_>, &str) -> Option<String>,
) -> Option<T>
where
    T: FromStr<Err: Display> + Display,
{
    ui.vertical(|ui| {
        let before = drafts.text(field.key).to_owned();
        let said = show(ui, drafts, field, &now.to_string());
        if let Some(said) = said {
            match said.parse() {
                Ok(value) => return Some(value),
                Err(_) => drafts.keep(field.key, said),
            }
        } else if !before.is_empty() && drafts.text(field.key).is_empty() && before.parse::<T>().is_err() {
            // The field lets go of what it is not asked to keep; what cannot be kept is not thrown away.
            if !ui.input(|input| input.key_pressed(Key::Escape)) {
                drafts.put(field.key, before);
            }
        }
        if let Err(why) = drafts.text(field.key).parse::<T>() {
            wrong(ui, &why.to_string());
        }
        None
    })
    .inner
}

/// A value that may be left empty: gives `Some(None)` where it was emptied. `none` says how nothing is understood.
pub fn read_or_none<T>(
    ui: &mut Ui,
    drafts: &mut Drafts,
    field: Field<'_>,
    shown: Option<String>,
    none: &str,
    reader: impl Fn(&str) -> Result<Typed<T>, String>,
) -> Option<Option<T>> {
    read(ui, drafts, field, &shown.unwrap_or_default(), |text| {
        if text.trim().is_empty() {
            Ok(Typed { value: None, echo: none.to_owned() })
        } else {
            reader(text).map(|typed| typed.map(Some))
        }
    })
}
