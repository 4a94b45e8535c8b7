//! Settings of light, gas, water surface, heat and flow. What is left empty stays as it was.

use jiff::civil::Time;
use maud::{Markup, html};
use text::t;
use trial::act::Setting;

use super::super::kit::{Kit, NAME};
use super::super::reader::Reader;
use crate::parts::fields::{Pairs, short_row};

const GAS: [&str; 2] = ["gas_on_after_light_min", "gas_off_after_light_min"];

pub(super) fn draw(kit: Kit<'_>) -> Markup {
    let light = html! {
        (kit.may("photoperiod_h").number("h"))
        (kit.may("dimming_pct").number("%"))
        (kit.may("light_on_at").text())
        (kit.may("lamp_height_cm").number("cm"))
    };
    let gas = html! { @for name in GAS { (kit.may(name).number("min")) } };
    let water =
        html! { (kit.may("temperature_c").number("\u{b0}C")) (kit.may("flow_l_h").number("L/h")) };
    html! {
        p.hint { (t!("log.setting_hint")) }
        div.most-optional {
            (short_row(&light))
            (short_row(&gas))
            (short_row(&water))
            (kit.may("surface").text())
            (kit.more(t!("log.more_clock"), &["timer_clock"], &kit.may("timer_clock").text()))
        }
    }
}

pub(super) fn read(r: &mut Reader<'_>) -> Setting {
    let words = |text: String| (!text.is_empty()).then_some(text);
    Setting {
        photoperiod_h: r.maybe("photoperiod_h"),
        light_on_at: time(r),
        timer_clock: words(r.maybe_words("timer_clock", NAME)),
        dimming_pct: r.maybe("dimming_pct"),
        lamp_height_cm: r.maybe("lamp_height_cm"),
        gas_on_after_light_min: r.maybe(GAS[0]),
        gas_off_after_light_min: r.maybe(GAS[1]),
        surface: words(r.maybe_words("surface", NAME)),
        temperature_c: r.maybe("temperature_c"),
        flow_l_h: r.maybe("flow_l_h"),
    }
}

fn time(r: &mut Reader<'_>) -> Option<Time> {
    let typed = r.typed("light_on_at");
    if typed.is_empty() {
        return None;
    }
    let read = Time::strptime("%H:%M", typed).ok();
    if read.is_none() {
        r.refuse("light_on_at", t!("log.accept_time"));
    }
    read
}

pub(super) fn fill(p: &mut Pairs, s: &Setting) {
    p.number("photoperiod_h", s.photoperiod_h);
    p.maybe(
        "light_on_at",
        s.light_on_at.map(|t| t.strftime("%H:%M").to_string()),
    );
    p.maybe("timer_clock", s.timer_clock.as_ref());
    p.number("dimming_pct", s.dimming_pct);
    p.number("lamp_height_cm", s.lamp_height_cm);
    p.number(GAS[0], s.gas_on_after_light_min);
    p.number(GAS[1], s.gas_off_after_light_min);
    p.maybe("surface", s.surface.as_ref());
    p.number("temperature_c", s.temperature_c);
    p.number("flow_l_h", s.flow_l_h);
}
