// Stands in for Tauri, and does what a person would: opens the camera, taps two spots and the paper, and tells what the
// screen says, twenty times a second.
(() => {
  const callbacks = [];
  window.__TAURI_INTERNALS__ = {
    transformCallback: (callback) => callbacks.push(callback) - 1,
    convertFileSrc: (path, scheme) => `/${scheme}/${path}`,
    invoke: async (command, args, options) => {
      if (command.startsWith('plugin:')) return 0;
      const raw = args instanceof Uint8Array;
      const headers = { 'x-live': options?.headers?.['x-live'] ?? '' };
      const response = await fetch(`/ipc/${command}`, { method: 'POST', body: raw ? args : JSON.stringify(args ?? {}), headers });
      const answer = await response.text();
      if (response.ok) return JSON.parse(answer);
      throw { code: 'caller', message: answer, hint: '' };
    },
  };
  // Chromium says so only of a browser that a driver started.
  Object.defineProperty(Navigator.prototype, 'webdriver', { get: () => true });
  // Drawn taps have no pointer that could be captured.
  Element.prototype.setPointerCapture = () => undefined;

  const { spots, paper, seconds } = window.plan;
  const find = (selector) => document.querySelector(selector);
  const part = (name) => find(`[data-part='${name}']`);
  const until = async (what, is) => {
    for (const start = performance.now(); performance.now() - start < 60000; ) {
      if (is()) return;
      await new Promise((resolve) => setTimeout(resolve, 50));
    }
    throw new Error(`waited in vain for ${what}: ${document.body.innerText}`);
  };
  const tap = ([x, y]) => {
    const { left, top, width, height } = part('picture').getBoundingClientRect();
    const at = { clientX: left + x * width, clientY: top + y * height, pointerId: 1, button: 0, bubbles: true, cancelable: true };
    for (const kind of ['pointerdown', 'pointerup']) part('picture').dispatchEvent(new PointerEvent(kind, at));
  };
  const corner = new OffscreenCanvas(1, 1).getContext('2d', { willReadFrequently: true });
  const covered = () => {
    corner.drawImage(find('video'), 8, 8, 16, 16, 0, 0, 1, 1);
    return corner.getImageData(0, 0, 1, 1).data[1] > 128;
  };
  const reading = (letter) => {
    const lightness = find(`[data-reading='${letter}']`)?.dataset.lightness;
    return lightness === undefined ? null : Number(lightness);
  };

  const drive = async () => {
    await until('the page', () => part('camera-start'));
    part('camera-start').click();
    await until('a frame', () => window.tonefast?.counts().sent > 0);
    for (const spot of spots) {
      tap(spot);
      // So that two taps are not a double one.
      await new Promise((resolve) => setTimeout(resolve, 500));
    }
    await until('readings', () => reading('A') !== null && reading('B') !== null);
    await until('no hand over the paper', () => !covered());
    part('paper').click();
    await until('the paper sheet', () => part('paper-sheet'));
    tap(paper);
    await until('the paper followed', () => part('paper-state')?.dataset.followed === 'true');
    part('done').click();
    await until('settled readings', () => !find('.readings')?.innerText.includes('settling'));
    const told = [];
    const start = performance.now();
    while (performance.now() - start < 1000 * seconds) {
      told.push({
        time: (performance.now() - start) / 1000,
        against: part('live')?.dataset.against ?? '',
        notes: [...document.querySelectorAll("[data-part='light-note']")].map((note) => note.innerText).join(' '),
        a: reading('A'),
        b: reading('B'),
        covered: covered(),
        frames: window.tonefast.counts().frames,
      });
      await new Promise((resolve) => setTimeout(resolve, 50));
    }
    return told;
  };
  addEventListener('load', () =>
    drive()
      .catch((error) => ({ error: String(error) }))
      .then((told) => fetch('/told', { method: 'POST', body: JSON.stringify(told) })),
  );
})();
