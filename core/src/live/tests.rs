use super::*;
use crate::lightness::grey_from_y;
use crate::{Bands, Reading, Spot, Warning, lightness_from_y, y_from_lightness};

/// A drawn frame: what lies in it by its L*, and what hand and camera do to it.
struct Scene {
    /// The sheet's corner, moved by the hand.
    sheet: (f64, f64),
    /// What the exposure multiplies linear light by.
    exposure: f64,
    /// Each channel's share of the light.
    cast: [f64; 3],
    /// Whether a hand lies over the sheet.
    hand: bool,
}

const PAPER: f64 = 94.5;
const SHEET: (f64, f64) = (220.0, 200.0);
const STEADY: Scene = Scene { sheet: (500.0, 250.0), exposure: 0.7, cast: [1.0, 0.9, 0.7], hand: false };

impl Scene {
    /// Two patches on a grey table, and the sheet.
    fn lightness(&self, x: f64, y: f64) -> f64 {
        let (across, down) = (x - self.sheet.0, y - self.sheet.1);
        if self.hand && (450.0..800.0).contains(&x) {
            return 62.0;
        }
        if (0.0..SHEET.0).contains(&across) && (0.0..SHEET.1).contains(&down) {
            return PAPER;
        }
        if across < -60.0 { 30.0 } else { 55.0 }
    }

    fn pixel(&self, x: f64, y: f64) -> [u8; 4] {
        let light = y_from_lightness(self.lightness(x, y)) * self.exposure;
        // Noise of one code either way, the same for every run.
        let noise = ((x * 13.0 + y * 7.0) as i64 % 3 - 1) as f64 / 255.0;
        let code = |share: f64| {
            let grey = f64::from(grey_from_y((light * share).min(1.0)));
            (grey + 255.0 * noise).clamp(0.0, 255.0) as u8
        };
        let skin = if self.hand && (450.0..800.0).contains(&x) { [1.0, 0.7, 0.5] } else { [1.0; 3] };
        let [r, g, b] = std::array::from_fn(|at| code(self.cast[at] * skin[at]));
        [r, g, b, 255]
    }

    fn patch(&self, (x, y): (f64, f64), step: f64, size: (u32, u32)) -> FramePatch {
        let rgba: Vec<u8> = (0..size.0 * size.1)
            .flat_map(|at| self.pixel(x + f64::from(at % size.0) * step, y + f64::from(at / size.0) * step))
            .collect();
        FramePatch::new(size, &rgba).unwrap()
    }

    /// A quarter of the frame's width about a place, as the page takes it.
    fn window(&self, (x, y): (f64, f64)) -> Window {
        let (x, y) = (x - 160.0, y - 160.0);
        Window { patch: self.patch((x, y), 5.0, (64, 64)), x, y, step: 5.0 }
    }

    fn overview(&self) -> FramePatch {
        self.patch((10.0, 10.0), 20.0, (64, 36))
    }

    /// L* of a patch of the table's darker part.
    fn read(&self, gains: Gains) -> f64 {
        let photo = self.patch((100.0, 300.0), 1.0, (40, 40)).held(gains);
        let spot = Spot { x: 20.0, y: 20.0, radius: 15.0 };
        Reading::take(&photo, spot, &Bands::even(5).unwrap()).unwrap().lightness
    }
}

fn start(scene: &Scene) -> PaperFollower {
    let middle = (scene.sheet.0 + 110.0, scene.sheet.1 + 100.0);
    PaperFollower::start(&scene.window(middle), middle, 10.0, PAPER, 0.0).unwrap()
}

/// The hand moves by 2 % of the width from frame to frame, 15 frames a second: three frames between windows.
#[test]
fn paper_is_followed_through_a_trembling_hand_while_the_exposure_drifts() {
    let mut scene = STEADY;
    let mut follower = start(&scene);
    let mut before = scene.overview();
    for window in 1..=50 {
        let way = |seed: i32| f64::from((window * seed) % 7 - 3) / 3.0;
        // A third of a stop, up and down, within ten seconds; and light that turns warmer.
        scene.exposure = 0.7 * libm::exp2(libm::sin(f64::from(window) / 8.0) / 3.0);
        scene.cast[2] = 0.7 - 0.001 * f64::from(window);
        scene.sheet = (500.0 + 3.0 * 25.6 * way(3) / 2.0, 250.0 + 3.0 * 25.6 * way(5) / 2.0);
        let now = scene.overview();
        let sight = follower.follow(
            &scene.window(follower.place()),
            now.exposure_since(&before),
            f64::from(window) / 5.0,
        );
        before = now;
        assert_eq!(sight, PaperSight::Followed, "window {window}");
        let held = scene.read(follower.gains().unwrap());
        assert!((held - 30.0).abs() < 1.0, "window {window}: {held}");
    }
    scene.exposure = 0.7 / libm::cbrt(2.0);
    let now = scene.overview();
    follower.follow(&scene.window(follower.place()), now.exposure_since(&before), 10.2);
    assert!((follower.drift() + 1.0 / 3.0).abs() < 0.03, "{}", follower.drift());
    // Unheld, the same patch reads several L* off.
    assert!((scene.read(Gains::NONE) - 30.0).abs() > 4.0);
}

#[test]
fn paper_under_a_hand_is_told_lost_within_half_a_second_and_found_again() {
    let mut scene = STEADY;
    let mut follower = start(&scene);
    let mut before = scene.overview();
    scene.hand = true;
    let mut look = |scene: &Scene, follower: &mut PaperFollower, time: f64| {
        let now = scene.overview();
        let exposure = now.exposure_since(&before);
        before = now;
        follower.follow(&scene.window(follower.place()), exposure, time)
    };
    assert_eq!(look(&scene, &mut follower, 0.2), PaperSight::Sought);
    assert!(follower.gains().is_some());
    assert_eq!(look(&scene, &mut follower, 0.4), PaperSight::Lost);
    assert_eq!(follower.gains(), None);
    scene.hand = false;
    assert_eq!(look(&scene, &mut follower, 2.0), PaperSight::Followed);
    assert!((scene.read(follower.gains().unwrap()) - 30.0).abs() < 1.0);
}

#[test]
fn paper_that_is_blown_out_is_told_and_known_again_afterwards() {
    let mut scene = STEADY;
    let mut follower = start(&scene);
    let mut before = scene.overview();
    for (window, exposure) in [(1, 0.9), (2, 1.2), (3, 1.5), (4, 1.1), (5, 0.8)] {
        scene.exposure = exposure;
        let now = scene.overview();
        let sight = follower.follow(
            &scene.window(follower.place()),
            now.exposure_since(&before),
            f64::from(window) / 5.0,
        );
        before = now;
        let clipped = exposure * y_from_lightness(PAPER) >= 0.97;
        assert_eq!(sight == PaperSight::Clipped, clipped, "{exposure}: {sight:?}");
        assert_eq!(follower.gains().is_none(), clipped);
    }
}

/// A card of L* 50 (Y .184) in a frame that is mostly of L* 90 (Y .763, CIE 15:2018): by it the frame would be 3.6 times
/// as light as white, where falling-off light explains 2.2.
#[test]
fn paper_that_is_darker_than_most_of_the_frame_is_questioned() {
    let follower = start(&STEADY);
    assert_eq!(follower.questioned(&STEADY.overview()), None);
    let flat = |lightness: f64| {
        let grey = grey_from_y(y_from_lightness(lightness));
        FramePatch::new((64, 64), &[grey; 4 * 64 * 64]).unwrap()
    };
    let window = Window { patch: flat(50.0), x: 0.0, y: 0.0, step: 5.0 };
    let card = PaperFollower::start(&window, (160.0, 160.0), 10.0, PAPER, 0.0).unwrap();
    assert_eq!(card.questioned(&flat(90.0)), Some(1.0));
    assert_eq!(card.questioned(&flat(62.0)), None);
    assert_eq!(card.questioned(&flat(50.0)), None);
}

#[test]
fn what_is_no_paper_is_refused() {
    let scene = STEADY;
    let tap = |at| PaperFollower::start(&scene.window(at), at, 10.0, PAPER, 0.0).unwrap_err();
    assert_eq!(tap((500.0, 350.0)), PaperError::Uneven);
    assert_eq!(tap((200.0, 350.0)), PaperError::Dark);
    let far = PaperFollower::start(&scene.window((610.0, 350.0)), (1000.0, 350.0), 10.0, PAPER, 0.0);
    assert_eq!(far.unwrap_err(), PaperError::Outside);
}

/// By hand: frames of L* 50 and 52 have the mean of their Y, .18419 and .20141 (CIE 15:2018): L* 51.01.
#[test]
fn readings_settle_in_linear_light_and_say_how_steady_they_were() {
    let bands = Bands::even(5).unwrap();
    let read = |lightness: f64| {
        let grey = grey_from_y(y_from_lightness(50.0));
        let photo = FramePatch::new((40, 40), &[grey; 6400]).unwrap().photo();
        let reading = Reading::take(&photo, Spot { x: 20.0, y: 20.0, radius: 10.0 }, &bands).unwrap();
        Reading { lightness, ..reading }
    };
    let mut settling = Settling::default();
    assert_eq!(settling.settled(&bands), None);
    for frame in 0..10 {
        settling.add(f64::from(frame) / 5.0, read(if frame % 2 == 0 { 50.0 } else { 52.0 }));
    }
    let settled = settling.settled(&bands).unwrap();
    assert!((settled.reading.lightness - 51.01).abs() < 0.01, "{}", settled.reading.lightness);
    // Half of ten values 1 above their mean, half 1 below: by hand sqrt(10 / 9).
    assert!((settled.unsteadiness - 1.054).abs() < 0.001 && settled.is_settled);
    // Three seconds later nothing of that counts.
    settling.add(5.0, read(60.1));
    let settled = settling.settled(&bands).unwrap();
    assert_eq!((settled.frames, settled.is_settled, settled.reading.band), (1, false, 2));
    assert!(settled.reading.warnings.contains(&Warning::OnEdge(3)));
}

/// 8-bit sRGB 119 is L* 50.03 and 128 is 53.59 (colour-science 0.4.7): paper that reads the one, and is known to be the
/// other, lifts it there.
#[test]
fn gains_bring_paper_to_its_known_lightness_whatever_the_cast() {
    let patch = FramePatch::new((2, 1), &[119, 119, 119, 0, 180, 119, 60, 0]).unwrap();
    let linear = |code: usize| crate::lightness::srgb_decode(code as f64 / 255.0);
    let grey = patch.held(Gains::from_paper([linear(119); 3], 53.585));
    let warm = patch.held(Gains::from_paper([linear(180), linear(119), linear(60)], 53.585));
    for (photo, column) in [(grey, 0), (warm, 1)] {
        let lightness = lightness_from_y(f64::from(photo.tonal_map().row(0)[column]) / 65_535.0);
        assert!((lightness - 53.585).abs() < 0.01, "{lightness}");
    }
}

#[test]
fn a_glance_at_the_whole_counts_what_is_clipped_as_the_camera_saw_it() {
    let mut rgba = [100, 100, 100, 255].repeat(100);
    rgba[..40].copy_from_slice(&[255, 240, 230, 255].repeat(10));
    rgba[40..60].copy_from_slice(&[0, 0, 0, 255].repeat(5));
    let overview = FramePatch::new((10, 10), &rgba).unwrap().overview(Gains([4.0; 3]));
    assert_eq!((overview.clipped_light, overview.clipped_dark, overview.is_glaring), (0.1, 0.05, true));
    assert_eq!(overview.shares(&Bands::even(2).unwrap()), [0.95, 0.05]);
}

/// The lightest band is not what is blown out, and a few per cent of highlights are no large part.
#[test]
fn only_channels_at_their_end_are_blown_out_and_only_a_tenth_of_the_frame_is_a_large_part() {
    let frame = |full: usize, light: usize| {
        let mut rgba = [100, 100, 100, 255].repeat(100);
        rgba[..4 * full].copy_from_slice(&[255, 255, 255, 255].repeat(full));
        rgba[4 * full..4 * (full + light)].copy_from_slice(&[250, 250, 250, 255].repeat(light));
        FramePatch::new((10, 10), &rgba).unwrap().overview(Gains::NONE)
    };
    let lightest = |overview: &Overview| overview.shares(&Bands::even(5).unwrap())[0];
    let highlights = frame(8, 0);
    assert_eq!((lightest(&highlights), highlights.is_glaring), (0.08, false));
    let pale = frame(0, 60);
    assert_eq!((lightest(&pale), pale.clipped_light, pale.is_glaring), (0.6, 0.0, false));
    assert!(frame(10, 0).is_glaring);
}

#[test]
fn pixels_that_are_no_patch_are_refused() {
    assert_eq!(FramePatch::new((65, 1), &[0; 260]), Err(PatchError::Size));
    assert_eq!(FramePatch::new((0, 1), &[]), Err(PatchError::Size));
    assert_eq!(FramePatch::new((2, 2), &[0; 15]), Err(PatchError::Bytes));
}

/// The shader's tables are those that patches are read by.
#[test]
fn the_shaders_tables_make_the_y_of_core() {
    let VideoTables { linear_from_code, y_row } = video_tables();
    for rgb in [[12, 200, 90], [255, 0, 0], [0, 255, 3], [77, 78, 79], [255, 255, 255]] {
        let photo = FramePatch::new((1, 1), &[rgb[0], rgb[1], rgb[2], 0]).unwrap().photo();
        let y: f32 = (0..3).map(|at| y_row[at] * linear_from_code[at][usize::from(rgb[at])]).sum();
        assert_eq!(crate::lightness::code_from_y(y), photo.tonal_map().row(0)[0], "{rgb:?}");
    }
}
