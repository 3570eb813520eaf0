use super::doubt::together;
use super::rendering::Rendering;
use super::scene::{PATCHES, Scene, luminance, spot, surface};
use crate::random::Random;
use crate::{
    Against, Bands, Circumstances, Difference, Evenness, Light, LightError, LightNote, NoReading, Patch,
    PatchKind, Photo, Question, Questioned, Reading, Scale, Warning, lightness_from_y, y_from_lightness,
};
use std::sync::Arc;

const PAPERS: [usize; 4] = [0, 7, 40, 47];
const DARK: usize = 19;
const PAPER: f64 = 94.5;
const BLACK: f64 = 20.64;

#[test]
fn paper_and_a_dark_patch_undo_gradient_cast_and_flare() {
    let (surfaces, mut random) = board(1);
    let photo = scene().photo(&surfaces, &mut random);
    let light = Light::judge(&photo, &papers_and_dark(), Circumstances::default()).unwrap();
    let lit = photo.lit(&Arc::new(light));
    let worst = |photo: &Photo| {
        (0..PATCHES)
            .map(|at| (read(photo, at).lightness - lightness_from_y(luminance(surfaces[at]))).abs())
            .fold(0.0, f64::max)
    };
    let (before, after) = (worst(&photo), worst(&lit));
    println!("worst of {PATCHES} patches: {before:.1} L* as the camera saw it, {after:.2} once told");
    assert!(after < 1.5, "{after}");
    assert!(before > 4.0 * after, "{before}");
    let light = lit.light().unwrap();
    assert_eq!(
        light.against(),
        Against::Patches {
            scale: Scale::PaperAndDark(PAPER),
            evenness: Evenness::EvenedOut(4),
            beyond: false
        }
    );
    assert_eq!(
        light.against().to_string(),
        "against paper 94.5 and a dark patch, light evened out by 4 papers"
    );
    assert!(light.notes().is_empty(), "{:?}", light.notes());
}

#[test]
fn one_painting_reads_alike_in_two_lights_once_each_has_its_paper() {
    let (surfaces, mut random) = board(2);
    let cool = Scene { light: [0.52, 0.6, 0.75], gradient: (-0.1, 0.2), flare: 0.004, ..scene() };
    let [first, second] = [scene(), cool].map(|scene| {
        let photo = scene.photo(&surfaces, &mut random);
        let light = Light::judge(&photo, &papers_and_dark(), Circumstances::default()).unwrap();
        photo.lit(&Arc::new(light))
    });
    for at in 0..PATCHES {
        let apart = read(&first, at).lightness - read(&second, at).lightness;
        assert!(apart.abs() < 2.0, "patch {at}: {apart}");
    }
}

#[test]
fn without_a_light_there_is_no_doubt_to_give_and_with_one_a_difference_has_less() {
    let (surfaces, mut random) = board(3);
    let photo = scene().photo(&surfaces, &mut random);
    assert_eq!((read(&photo, 3).doubt, read(&photo, 3).against), (None, Against::Camera));
    let light = Light::judge(&photo, &papers_and_dark()[..1], Circumstances::default()).unwrap();
    let lit = photo.lit(&Arc::new(light));
    let [first, second] = [27, 28].map(|at| read(&lit, at));
    let between = Difference::between(&first, &second).doubt.unwrap().plus_minus();
    let [a, b] = [first, second].map(|reading| reading.doubt.unwrap().plus_minus());
    assert!(between < together([a, b]), "{between} of {a} and {b}: one camera took both");
}

#[test]
fn a_spot_lighter_than_white_is_asked_about_and_has_no_figure() {
    let (mut surfaces, mut random) = board(4);
    surfaces[20] = [1.3; 3];
    let photo = Scene { light: [0.6; 3], ..scene() }.photo(&surfaces, &mut random);
    let lit =
        photo.lit(&Arc::new(Light::judge(&photo, &papers_and_dark(), Circumstances::default()).unwrap()));
    let taken = Reading::take(&lit, spot(20), &Bands::even(5).unwrap());
    assert_eq!(taken, Err(NoReading::LighterThanWhite));
    // A spot that a glint lies in has a figure, and the glint is told.
    let beside = crate::Spot { radius: 14.0, ..spot(19) };
    let glint = Reading::take(&lit, beside, &Bands::even(5).unwrap()).unwrap();
    assert!(glint.lightness <= 100.0, "{}", glint.lightness);
    assert!(glint.warnings.iter().any(|warning| matches!(warning, Warning::AboveWhite(_))), "{glint:?}");
}

#[test]
fn a_shadows_edge_is_told_and_not_smoothed_over() {
    let (mut surfaces, mut random) = board(5);
    for (at, surface) in surfaces.iter_mut().enumerate() {
        if at % 8 < 4 {
            *surface = surface.map(|channel| channel * 0.3);
        }
    }
    let photo = scene().photo(&surfaces, &mut random);
    // The painter says that the papers in the shadow are paper.
    let in_shadow = [0, 2];
    let light =
        Light::judge_confirmed(&photo, &papers_and_dark(), &in_shadow, Circumstances::default()).unwrap();
    assert!(light.notes().contains(&LightNote::ShadowEdge));
    assert_eq!(light.range(), (1.0, 1.0));
    assert!(light.against().to_string().ends_with("across a shadow's edge"));
}

#[test]
fn a_dark_thing_stated_as_paper_is_questioned_and_counts_only_once_confirmed() {
    let (surfaces, mut random) = board(10);
    let photo = scene().photo(&surfaces, &mut random);
    let tree = Patch { kind: PatchKind::White, spot: spot(DARK), lightness: PAPER };
    let light = Light::judge(&photo, &[tree], Circumstances::default()).unwrap();
    let [Question { patch: 0, why: Questioned::DarkerThanPicture(share) }] = *light.questions() else {
        panic!("{:?}", light.questions())
    };
    assert!(share > 0.5, "{share}");
    assert_eq!(light.against(), Against::Camera);
    let asked = photo.lit(&Arc::new(light));
    let seen = read(&photo, 30).lightness;
    assert!((read(&asked, 30).lightness - seen).abs() < 0.01, "what is questioned does not count");
    // Beside true paper it is set aside, and the paper counts.
    let paper = papers_and_dark()[0];
    let light = Light::judge(&photo, &[paper, tree], Circumstances::default()).unwrap();
    assert_eq!(light.questions().len(), 1);
    assert_eq!(light.against().to_string(), "against paper 94.5, paper in another place is in question");
    // Confirmed, it counts with what it implies: but no figure is lighter than white.
    let light = Light::judge_confirmed(&photo, &[tree], &[0], Circumstances::default()).unwrap();
    assert_eq!(light.questions(), []);
    let lit = photo.lit(&Arc::new(light));
    let taken = Reading::take(&lit, spot(30), &Bands::even(5).unwrap());
    assert_eq!(taken, Err(NoReading::LighterThanWhite));
}

#[test]
fn paper_in_bright_and_near_black_places_is_not_even_light() {
    let (mut surfaces, mut random) = board(11);
    surfaces[PAPERS[3]] = [0.1; 3];
    let photo = scene().photo(&surfaces, &mut random);
    let papers = [papers_and_dark()[0], papers_and_dark()[3]];
    let judge = |confirmed: &[usize]| {
        Light::judge_confirmed(&photo, &papers, confirmed, Circumstances::default()).unwrap()
    };
    let asked = judge(&[]);
    assert_eq!(asked.questions().iter().map(|it| it.patch).collect::<Vec<_>>(), [1]);
    assert!(!asked.against().to_string().contains("even"), "{}", asked.against());
    let confirmed = judge(&[1]);
    assert!(confirmed.against().to_string().ends_with("across a shadow's edge"), "{}", confirmed.against());
}

#[test]
fn patches_that_differ_by_more_than_light_explains_are_questioned() {
    let (mut surfaces, mut random) = board(12);
    // A card that is nearly as light as the paper, and a paper that is as dark as a card.
    surfaces[10] = [0.75; 3];
    let photo = scene().photo(&surfaces, &mut random);
    let papers = papers_and_dark();
    let card = Patch { kind: PatchKind::Card, spot: spot(10), lightness: 49.5 };
    let light = Light::judge(&photo, &[papers[0], papers[2], card], Circumstances::default()).unwrap();
    assert_eq!(light.questions(), [Question { patch: 2, why: Questioned::Disagrees(0) }]);
}

/// Half of the picture is bare paper, in light that falls off by a third: no mark on it is questioned, however dim.
#[test]
fn paper_in_the_dimmer_part_of_a_sheet_is_not_questioned() {
    let (mut surfaces, mut random) = board(13);
    for (at, surface) in surfaces.iter_mut().enumerate() {
        if at / 8 % 2 == 0 {
            *surface = [y_from_lightness(PAPER); 3];
        }
    }
    let photo = Scene { gradient: (0.45, 0.05), ..scene() }.photo(&surfaces, &mut random);
    for at in [0, 16, 32] {
        let dim = Patch { kind: PatchKind::White, spot: spot(at), lightness: PAPER };
        let light = Light::judge(&photo, &[dim], Circumstances::default()).unwrap();
        assert_eq!(light.questions(), [], "paper {at}");
    }
}

#[test]
fn a_smeared_lens_is_told() {
    let (surfaces, mut random) = board(6);
    let photo = Scene { flare: 0.05, ..scene() }.photo(&surfaces, &mut random);
    let light = Light::judge(&photo, &papers_and_dark(), Circumstances::default()).unwrap();
    let Some(LightNote::WipeLens(share)) = light.notes().first() else { panic!("{:?}", light.notes()) };
    assert!((share - 0.05).abs() < 0.01, "{share}");
}

#[test]
fn what_no_patch_undoes_widens_the_doubt_and_names_what_helps() {
    let (surfaces, mut random) = board(7);
    let photo = scene().photo(&surfaces, &mut random);
    let half = |circumstances: Circumstances| {
        let light = Light::judge(&photo, &papers_and_dark(), circumstances).unwrap();
        let notes: Vec<String> = light.notes().iter().map(ToString::to_string).collect();
        (read(&photo.lit(&Arc::new(light)), DARK).doubt.map(|doubt| doubt.plus_minus()), notes)
    };
    let plain = half(Circumstances::default()).0.unwrap();
    let lifted = half(Circumstances { lifted: true, ..Circumstances::default() });
    let wet = half(Circumstances { wet: true, ..Circumstances::default() });
    assert!(lifted.0.unwrap() > plain + 2.0 && lifted.1[0].contains("plain mode"), "{lifted:?}");
    assert!(wet.0.unwrap() > plain + 2.0 && wet.1[0].contains("Another angle"), "{wet:?}");
    let beyond = half(Circumstances { beyond_the_paper: true, ..Circumstances::default() });
    assert!(beyond.0.is_none() && beyond.1[0].contains("relative"), "{beyond:?}");
}

#[test]
fn patches_that_tell_nothing_are_refused_in_words() {
    let (mut surfaces, mut random) = board(8);
    surfaces[0] = [2.0; 3];
    let photo = scene().photo(&surfaces, &mut random);
    let judge = |patches: &[Patch]| Light::judge(&photo, patches, Circumstances::default());
    let papers = papers_and_dark();
    assert_eq!(judge(&[papers[4]]), Err(LightError::NoScale));
    assert_eq!(judge(&[papers[0]]), Err(LightError::NoScale));
    assert_eq!(judge(&[papers[0], papers[1]]).unwrap().notes(), [LightNote::Clipped(0)]);
    let swapped = Patch { lightness: 98.0, ..papers[4] };
    assert_eq!(judge(&[papers[1], swapped]), Err(LightError::Contradiction { darker: 0, lighter: 1 }));
    let papers_of_two_tones = [papers[1], Patch { lightness: 97.0, ..papers[2] }];
    assert!(judge(&papers_of_two_tones).is_ok());
    let outside = Patch { spot: crate::Spot { x: -90.0, ..papers[1].spot }, ..papers[1] };
    assert_eq!(judge(&[outside]), Err(LightError::Outside(0)));
    assert_eq!(judge(&[Patch { lightness: f64::NAN, ..papers[1] }]), Err(LightError::NoTone(0)));
}

#[test]
fn a_turned_photo_is_as_the_camera_saw_it() {
    let (surfaces, mut random) = board(9);
    let photo = scene().photo(&surfaces, &mut random);
    let lit =
        photo.lit(&Arc::new(Light::judge(&photo, &papers_and_dark(), Circumstances::default()).unwrap()));
    let back = lit.turned(1).turned(3);
    assert!(back.light().is_none());
    assert_eq!(back.tonal_map(), photo.tonal_map());
}

/// A warm light that falls off by 30 % over the width, 1 % of flare, no tone curve, JPEG 90.
fn scene() -> Scene {
    Scene {
        light: [1.16, 1.0, 0.70].map(|channel| 0.75 * channel),
        gradient: (0.3, 0.05),
        flare: 0.01,
        rendering: Rendering::Power { gamma: 1.0, bend: 0.0 },
        noise: 0.01,
        quality: 90,
    }
}

/// Patches from L* 15 to 90 in any hue, with papers and a black.
fn board(seed: u64) -> ([[f64; 3]; PATCHES], Random) {
    let mut random = Random::new(0x626f_6172_6400 + seed);
    let mut surfaces = std::array::from_fn(|at| {
        surface(&mut random, y_from_lightness(15.0 + 75.0 * at as f64 / (PATCHES - 1) as f64))
    });
    for at in PAPERS {
        surfaces[at] = [y_from_lightness(PAPER); 3];
    }
    surfaces[DARK] = [y_from_lightness(BLACK); 3];
    (surfaces, random)
}

fn papers_and_dark() -> Vec<Patch> {
    let papers = PAPERS.map(|at| Patch { kind: PatchKind::White, spot: spot(at), lightness: PAPER });
    let dark = Patch { kind: PatchKind::Dark, spot: spot(DARK), lightness: BLACK };
    papers.into_iter().chain([dark]).collect()
}

fn read(photo: &Photo, patch: usize) -> Reading {
    Reading::take(photo, spot(patch), &Bands::even(5).unwrap()).unwrap()
}
