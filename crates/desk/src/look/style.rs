//! Egui in the house's clothes.

use egui::style::{ScrollStyle, Selection, WidgetVisuals};
use egui::{Color32, Context, CornerRadius, Margin, Shadow, Stroke, Style, TextStyle, Theme, vec2};

use super::faces::{Face, fonts};
use super::tokens::{Tokens, space};

/// Dresses a window: letters once, and both appearances.
pub fn dress(ctx: &Context) {
    ctx.set_fonts(fonts());
    ctx.style_mut_of(Theme::Light, |style| dress_one(style, &Tokens::LIGHT));
    ctx.style_mut_of(Theme::Dark, |style| dress_one(style, &Tokens::DARK));
}

fn dress_one(style: &mut Style, tokens: &Tokens) {
    style.text_styles = [
        (TextStyle::Body, Face::Body),
        (TextStyle::Button, Face::Body),
        (TextStyle::Heading, Face::Heading),
        (TextStyle::Small, Face::Second),
        (TextStyle::Monospace, Face::Second),
    ]
    .map(|(of, face)| (of, face.font()))
    .into();
    // Nothing slides or fades: a thing is there or it is not.
    style.animation_time = 0.0;
    style.interaction.selectable_labels = false;
    style.interaction.tooltip_delay = 0.4;
    let spacing = &mut style.spacing;
    spacing.item_spacing = vec2(2.0 * space::STEP, space::STEP);
    spacing.button_padding = vec2(3.0 * space::STEP, 1.5 * space::STEP);
    spacing.interact_size = vec2(space::PRESS, space::PRESS);
    spacing.window_margin = Margin::same(24);
    spacing.menu_margin = Margin::same(8);
    spacing.icon_width = 20.0;
    spacing.icon_width_inner = 12.0;
    spacing.combo_width = 160.0;
    spacing.combo_height = 320.0;
    spacing.text_edit_width = 240.0;
    // The bar lies over the page's margin and is seen only where the pointer is: no rail cuts through the page.
    spacing.scroll = ScrollStyle {
        bar_width: 8.0,
        foreground_color: true,
        active_handle_opacity: 0.25,
        interact_handle_opacity: 0.4,
        floating_allocated_width: 0.0,
        dormant_background_opacity: 0.0,
        dormant_handle_opacity: 0.0,
        active_background_opacity: 0.0,
        interact_background_opacity: 0.0,
        ..ScrollStyle::floating()
    };
    visuals(style, tokens);
}

fn visuals(style: &mut Style, tokens: &Tokens) {
    let visuals = &mut style.visuals;
    *visuals = if tokens.dark { egui::Visuals::dark() } else { egui::Visuals::light() };
    visuals.override_text_color = None;
    visuals.weak_text_color = Some(tokens.ink_3);
    visuals.panel_fill = tokens.page;
    visuals.window_fill = tokens.page;
    visuals.window_stroke = tokens.hairline();
    visuals.window_shadow = Shadow::NONE;
    visuals.popup_shadow = Shadow::NONE;
    visuals.window_corner_radius = space::RADIUS_WIDE;
    visuals.menu_corner_radius = space::RADIUS_WIDE;
    visuals.extreme_bg_color = tokens.raised;
    visuals.text_edit_bg_color = Some(tokens.raised);
    visuals.faint_bg_color = tokens.tint;
    visuals.code_bg_color = tokens.tint;
    visuals.hyperlink_color = tokens.accent;
    visuals.warn_fg_color = tokens.care;
    visuals.error_fg_color = tokens.care;
    visuals.selection =
        Selection { bg_fill: tokens.accent.gamma_multiply(0.3), stroke: Stroke::new(1.0, tokens.ink) };
    visuals.text_cursor.stroke = Stroke::new(1.5, tokens.accent);
    // A blinking cursor would draw a frame twice a second for nothing.
    visuals.text_cursor.blink = false;
    visuals.interact_cursor = Some(egui::CursorIcon::PointingHand);
    visuals.striped = false;
    visuals.indent_has_left_vline = false;
    let look = |fill: Color32, edge: Stroke, ink: Color32| WidgetVisuals {
        bg_fill: fill,
        weak_bg_fill: fill,
        bg_stroke: edge,
        corner_radius: CornerRadius { ..space::RADIUS },
        fg_stroke: Stroke::new(1.5, ink),
        expansion: 0.0,
    };
    let quiet = Stroke::new(1.0, tokens.line.lerp_to_gamma(tokens.ink_3, 0.55));
    visuals.widgets.noninteractive = look(tokens.page, tokens.hairline(), tokens.ink);
    visuals.widgets.inactive = look(tokens.raised, quiet, tokens.ink);
    visuals.widgets.hovered = look(tokens.raised, tokens.edge(), tokens.ink);
    // A whole width, as the others have: a button takes its edge off its margin in whole points, and must not move.
    visuals.widgets.active = look(tokens.tint, Stroke::new(2.0, tokens.accent), tokens.ink);
    visuals.widgets.open = look(tokens.raised, tokens.edge(), tokens.ink);
}
