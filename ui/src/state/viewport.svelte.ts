//! Where the picture stands on the screen: zoom and pan, in whole device pixels.

export type Size = { width: number; height: number };
export type Rectangle = { x: number; y: number; width: number; height: number };
export type Point = { x: number; y: number };

/** Device pixels to a pixel of the working copy beyond which nothing more is seen. */
const MOST_MAGNIFIED = 32;

/** What is revealed keeps this part of the area between itself and the edge. */
const MARGIN = 0.08;

export class Viewport {
  /** The space that there is, in device pixels. */
  area = $state.raw<Size>({ width: 1, height: 1 });
  /** The working copy, in its pixels. */
  picture = $state.raw<Size>({ width: 1, height: 1 });
  /** 1 where the whole picture just fits. */
  zoom = $state(1);
  /** The point of the picture in the area's middle, in fractions of the picture. */
  centre = $state.raw<Point>({ x: 0.5, y: 0.5 });

  /** Device pixels to a pixel of the working copy where the whole picture just fits. */
  readonly fitScale = $derived(Math.min(this.area.width / this.picture.width, this.area.height / this.picture.height));
  readonly maxZoom = $derived(Math.max(4, MOST_MAGNIFIED / this.fitScale));
  /** Device pixels to a pixel of the working copy. */
  readonly scale = $derived(this.fitScale * this.zoom);

  /** The whole picture in device pixels of the area, on whole pixels; it may be larger than the area. */
  readonly placed: Rectangle = $derived.by(() => {
    const width = Math.max(1, Math.round(this.picture.width * this.scale));
    const height = Math.max(1, Math.round(this.picture.height * this.scale));
    return {
      x: start(this.area.width, width, this.centre.x),
      y: start(this.area.height, height, this.centre.y),
      width,
      height,
    };
  });

  /** What of the picture is seen, in device pixels of the area. */
  readonly visible: Rectangle = $derived.by(() => {
    const { x, y, width, height } = this.placed;
    const left = Math.max(0, x);
    const top = Math.max(0, y);
    return {
      x: left,
      y: top,
      width: Math.max(1, Math.min(this.area.width, x + width) - left),
      height: Math.max(1, Math.min(this.area.height, y + height) - top),
    };
  });

  /** What of the picture is seen, in fractions of it. */
  readonly part: Rectangle = $derived({
    x: (this.visible.x - this.placed.x) / this.placed.width,
    y: (this.visible.y - this.placed.y) / this.placed.height,
    width: this.visible.width / this.placed.width,
    height: this.visible.height / this.placed.height,
  });

  /** Shows the whole of a picture of this size. */
  show(picture: Size): void {
    this.picture = picture;
    this.fit();
  }

  fit(): void {
    this.zoom = 1;
    this.centre = { x: 0.5, y: 0.5 };
  }

  /** Magnifies by `factor` about a point of the area in device pixels, which stays where it is. */
  zoomBy(factor: number, about: Point = { x: this.area.width / 2, y: this.area.height / 2 }): void {
    const before = this.fraction(about);
    this.zoom = clamp(this.zoom * factor, 1, this.maxZoom);
    const after = this.fraction(about);
    this.#centreOn({ x: this.centre.x + before.x - after.x, y: this.centre.y + before.y - after.y });
  }

  /** Shows `scale` device pixels to a pixel of the working copy about a point in fractions of the picture. */
  zoomTo(scale: number, about: Point): void {
    this.zoom = clamp(scale / this.fitScale, 1, this.maxZoom);
    this.#centreOn(about);
  }

  /** Moves the picture by device pixels. */
  panBy(x: number, y: number): void {
    this.#centreOn({ x: this.centre.x - x / this.placed.width, y: this.centre.y - y / this.placed.height });
  }

  /** Moves the picture as little as need be for a working pixel to be seen. */
  reveal(pixel: Point): void {
    const { x, y } = this.areaOf(pixel);
    const [across, down] = [MARGIN * this.area.width, MARGIN * this.area.height];
    this.panBy(
      clamp(x, across, this.area.width - across) - x,
      clamp(y, down, this.area.height - down) - y,
    );
  }

  /** A point of the area in device pixels as fractions of the picture. */
  fraction({ x, y }: Point): Point {
    return { x: (x - this.placed.x) / this.placed.width, y: (y - this.placed.y) / this.placed.height };
  }

  /** A point of the area in device pixels as working pixels: whole numbers are pixel centres. */
  pixelAt(point: Point): Point {
    const { x, y } = this.fraction(point);
    return { x: x * this.picture.width - 0.5, y: y * this.picture.height - 0.5 };
  }

  /** Where a working pixel's centre lies in the area, in device pixels. */
  areaOf({ x, y }: Point): Point {
    return {
      x: this.placed.x + ((x + 0.5) / this.picture.width) * this.placed.width,
      y: this.placed.y + ((y + 0.5) / this.picture.height) * this.placed.height,
    };
  }

  #centreOn({ x, y }: Point): void {
    // Half of the area in fractions of the picture: nearer to an edge than this there would be a gap.
    const across = this.area.width / 2 / (this.picture.width * this.scale);
    const down = this.area.height / 2 / (this.picture.height * this.scale);
    this.centre = {
      x: across >= 0.5 ? 0.5 : clamp(x, across, 1 - across),
      y: down >= 0.5 ? 0.5 : clamp(y, down, 1 - down),
    };
  }
}

function start(area: number, length: number, centre: number): number {
  const at = Math.round(area / 2 - centre * length);
  // Rounding must open no gap of one pixel where the picture is larger than the area.
  return length >= area ? clamp(at, area - length, 0) : at;
}

function clamp(value: number, least: number, most: number): number {
  return Math.min(Math.max(value, least), most);
}
