#![allow(
    clippy::unwrap_used,
    reason = "helpers of tests, too, stop at the first surprise"
)]
//! SVG is well-formed, safe and named; PNG shows text and pictures.

mod common;

use std::sync::Arc;

use chart::{
    Anchor, ImageMark, ImageSource, Item, Mark, RichText, Role, Scene, Shape, SvgOptions, TextMark,
    Theme, to_png,
};
use resvg::tiny_skia::Pixmap;
use resvg::usvg::roxmltree::Document;

fn scene(items: Vec<Item>) -> Scene {
    Scene {
        width: 200.0,
        height: 100.0,
        title: "Test".to_owned(),
        items,
        ..Scene::default()
    }
}

#[test]
fn every_plot_is_well_formed_named_and_without_style() {
    let theme = Theme::dark();
    for (name, draw) in common::all() {
        for options in [SvgOptions::page(name), SvgOptions::file(name, &theme)] {
            let svg = draw(360.0).to_svg(&options);
            let doc = Document::parse(&svg).unwrap();
            let root = doc.root_element();
            assert_eq!(root.attribute("role"), Some("img"));
            let ids: Vec<&str> = doc
                .descendants()
                .filter_map(|n| n.attribute("id"))
                .collect();
            for id in root.attribute("aria-labelledby").unwrap().split(' ') {
                assert!(id.starts_with(&name.replace('_', "-")), "{id}");
                assert_eq!(ids.iter().filter(|i| **i == id).count(), 1, "{id}");
            }
            for node in doc
                .descendants()
                .filter(resvg::usvg::roxmltree::Node::is_element)
            {
                assert_eq!(node.attribute("style"), None);
                assert_ne!(node.tag_name().name(), "style");
                assert_ne!(node.tag_name().name(), "script");
            }
        }
    }
}

#[test]
fn classes_in_figures_are_all_in_the_style_sheet() {
    let css = chart::css();
    for (name, draw) in common::all() {
        let svg = draw(900.0).to_svg(&SvgOptions::page(name));
        let doc = Document::parse(&svg).unwrap();
        for class in doc.descendants().filter_map(|n| n.attribute("class")) {
            for class in class.split(' ') {
                assert!(css.contains(&format!(".{class}{{")), "no rule for {class}");
            }
        }
        assert!(
            !svg.contains('#'),
            "{name}: a page's figure must not name colours"
        );
    }
}

#[test]
fn text_is_escaped_and_comes_back_whole() {
    let nasty = "a < b & \"c\" > 'd' </text><script>x</script>\u{1}\u{0}";
    let want = "a < b & \"c\" > 'd' </text><script>x</script>";
    let mut scene = scene(vec![
        TextMark::new(1.0, 20.0, 12.0, nasty).into(),
        Mark::filled(
            Shape::Circle {
                x: 1.0,
                y: 1.0,
                r: 1.0,
            },
            Role::Ink,
        )
        .with_tip(nasty)
        .into(),
        ImageMark {
            x: 0.0,
            y: 0.0,
            w: 10.0,
            h: 10.0,
            source: ImageSource::Link("x\" onload=\"alert(1)".to_owned()),
            crop: false,
            alt: nasty.to_owned(),
        }
        .into(),
    ]);
    scene.title = nasty.to_owned();
    scene.description = nasty.to_owned();
    let svg = scene.to_svg(&SvgOptions::page("a\"b"));
    let doc = Document::parse(&svg).unwrap();
    let found = doc
        .descendants()
        .filter(|n| n.is_text() && n.text() == Some(want))
        .count();
    assert_eq!(found, 5, "title, description, text and two tooltips");
    assert!(doc.descendants().all(|n| n.attribute("onload").is_none()));
}

#[test]
fn the_same_scene_gives_the_same_text() {
    let options = SvgOptions::page("x");
    assert_eq!(
        common::lanes(900.0).to_svg(&options),
        common::lanes(900.0).to_svg(&options)
    );
}

#[test]
fn marks_that_are_not_finite_are_left_out() {
    let svg = scene(vec![
        Mark::filled(
            Shape::Circle {
                x: f64::NAN,
                y: 1.0,
                r: 1.0,
            },
            Role::Ink,
        )
        .into(),
        TextMark::new(f64::INFINITY, 1.0, 12.0, "lost").into(),
    ])
    .to_svg(&SvgOptions::page("x"));
    assert!(!svg.contains("circle") && !svg.contains("lost"));
}

/// Share of pixels that differ clearly from the ground.
fn inked(png: &[u8], theme: &Theme) -> f64 {
    let picture = Pixmap::decode_png(png).unwrap();
    let ground = theme.surface;
    let far = |a: u8, b: u8| a.abs_diff(b) > 60;
    let inked = picture
        .pixels()
        .iter()
        .filter(|p| far(p.red(), ground.0) || far(p.green(), ground.1) || far(p.blue(), ground.2));
    inked.count() as f64 / picture.pixels().len() as f64
}

#[test]
fn a_label_has_dark_pixels_in_each_face() {
    let theme = Theme::light();
    let blank = to_png(&scene(Vec::new()), &theme, 400).unwrap();
    assert_eq!(inked(&blank, &theme), 0.0);
    let share = |text: RichText| {
        let item = TextMark::new(100.0, 60.0, 24.0, text)
            .anchored(Anchor::Middle)
            .into();
        inked(&to_png(&scene(vec![item]), &theme, 400).unwrap(), &theme)
    };
    let plain = share(RichText::default().plain("Rotala"));
    let italic = share(RichText::default().italic("Rotala"));
    let strong = share(RichText::default().strong("Rotala"));
    for (face, inked) in [("plain", plain), ("italic", italic), ("strong", strong)] {
        assert!(inked > 0.01, "{face} text left {inked} of the pixels dark");
    }
    assert!(
        strong > plain * 1.1,
        "semi-bold must be the bold face: {strong} against {plain}"
    );
    assert_ne!(plain, italic);
}

#[test]
fn measured_widths_agree_with_the_drawn_text() {
    // Second route: the bounding box that resvg's own text layout finds.
    let theme = Theme::light();
    for words in [
        "Needle spikerush carpet",
        "0.06 mg/L",
        "Wendt's water trumpet",
        "12 ≥ 3 µmol m⁻²",
    ] {
        let text = RichText::default().plain("|").plain(words).plain("|");
        let measured = text.width(20.0);
        let mut wide = scene(vec![TextMark::new(20.0, 50.0, 20.0, text).into()]);
        wide.width = 600.0;
        let png = Pixmap::decode_png(&to_png(&wide, &theme, 1200).unwrap()).unwrap();
        let dark = |x: u32| (0..png.height()).any(|y| png.pixel(x, y).unwrap().red() < 128);
        let columns: Vec<u32> = (0..png.width()).filter(|x| dark(*x)).collect();
        let drawn = f64::from(columns[columns.len() - 1] - columns[0]) / 2.0;
        // The bars at both ends have side bearings, so the drawn width is a little smaller.
        let ratio = drawn / measured;
        assert!(
            (0.93..=1.0).contains(&ratio),
            "{words}: drawn {drawn}, measured {measured}"
        );
    }
}

fn picture(format: image::ImageFormat) -> Arc<[u8]> {
    let blue = image::RgbImage::from_pixel(32, 16, image::Rgb([20, 60, 200]));
    let mut bytes = std::io::Cursor::new(Vec::new());
    blue.write_to(&mut bytes, format).unwrap();
    bytes.into_inner().into()
}

#[test]
fn jpeg_and_png_pictures_show_up() {
    let jpeg = ImageSource::Jpeg(picture(image::ImageFormat::Jpeg));
    let png = ImageSource::Png(picture(image::ImageFormat::Png));
    for source in [jpeg, png] {
        let image = ImageMark {
            x: 50.0,
            y: 20.0,
            w: 100.0,
            h: 50.0,
            source,
            crop: true,
            alt: "A blue field".to_owned(),
        };
        let png = to_png(&scene(vec![image.into()]), &Theme::light(), 200).unwrap();
        let middle = Pixmap::decode_png(&png).unwrap().pixel(100, 45).unwrap();
        assert!(middle.blue() > 180 && middle.red() < 60, "{middle:?}");
    }
}

#[test]
fn a_link_never_reads_the_disk() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/output.rs");
    for address in [path, "picture.png"] {
        let image = ImageMark {
            x: 0.0,
            y: 0.0,
            w: 200.0,
            h: 100.0,
            source: ImageSource::Link(address.to_owned()),
            crop: true,
            alt: String::new(),
        };
        let theme = Theme::light();
        let png = to_png(&scene(vec![image.into()]), &theme, 200).unwrap();
        assert_eq!(inked(&png, &theme), 0.0);
    }
}

#[test]
fn a_missing_picture_is_a_box_with_words() {
    let image = ImageMark {
        x: 10.0,
        y: 10.0,
        w: 180.0,
        h: 80.0,
        source: ImageSource::Missing("no picture in week 7".to_owned()),
        crop: true,
        alt: "No picture".to_owned(),
    };
    let svg = scene(vec![image.into()]).to_svg(&SvgOptions::page("x"));
    assert!(svg.contains("no picture in week 7") && svg.contains("fill-panel"));
}

#[test]
fn png_sizes_are_checked() {
    let theme = Theme::light();
    let png = to_png(&scene(Vec::new()), &theme, 400).unwrap();
    let picture = Pixmap::decode_png(&png).unwrap();
    assert_eq!((picture.width(), picture.height()), (400, 200));
    let error = to_png(&scene(Vec::new()), &theme, 0)
        .unwrap_err()
        .to_string();
    assert_eq!(
        error,
        "picture of 0 x 0 px cannot be drawn; width and height must be 1 to 8192 px"
    );
    assert!(to_png(&scene(Vec::new()), &theme, 10_000).is_err());
    let flat = Scene {
        height: f64::NAN,
        ..scene(Vec::new())
    };
    assert!(to_png(&flat, &theme, 100).is_err());
}
