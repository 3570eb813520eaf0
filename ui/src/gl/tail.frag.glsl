// From Y and colour to what is shown. Follows core's view.rs and squint.rs step for step, with core's own tables.
//
// Made in variants by defines: VIEW is one of the numbers below; SQUINT, FRAMED and MOVING are there or not. A software
// renderer runs both sides of every branch, so a branch on a uniform would cost each view what all of them cost.

#define COLOUR 0
#define LIGHTNESS 1
#define BANDS 2
#define OUTLINES 3

const int MOST_BANDS = 12;
// L* under which an outline is white, above which it is black.
const float OUTLINE_TURNS = 50.0;

// Columns and rows of the canvas.
uniform ivec2 u_canvas;
// L* of the edges from light to dark, and how many.
uniform float u_edges[MOST_BANDS - 1];
uniform int u_edge_count;
// 8-bit grey of each band.
uniform uint u_greys[MOST_BANDS];
// Width of outlines in canvas pixels.
uniform int u_line;
// Four half planes in canvas pixels: where x * c + y * r + z is below 0 a pixel does not count.
uniform vec3 u_frame[4];
uniform sampler2D u_cells;
// From a canvas pixel's centre to fractions of the picture: offset in xy, step in zw.
uniform vec4 u_picture_from_canvas;
// L* of each code of Y; 8-bit sRGB of each code of linear light; each 8-bit code, dimmed.
uniform sampler2D u_lightness;
uniform usampler2D u_grey;
uniform usampler2D u_dim;

out vec4 o_colour;

float lightness_of(uint code) {
    return texelFetch(u_lightness, ivec2(code & 255u, code >> 8), 0).r;
}

uint grey_of(uint code) {
    return texelFetch(u_grey, ivec2(code & 255u, code >> 8), 0).r;
}

uint code_of(float light) {
    return uint(clamp(light * 65535.0 + 0.5, 0.0, 65535.0));
}

int band_of(uint code) {
    float lightness = lightness_of(code);
    int band = 1;
    for (int edge = 0; edge < u_edge_count; edge++) band += lightness < u_edges[edge] ? 1 : 0;
    return band;
}

// Weights of a uniform cubic B-spline at t past the second of four cells.
vec4 weights(float t) {
    float s = 1.0 - t;
    return vec4(
        s * s * s / 6.0,
        (3.0 * t * t * t - 6.0 * t * t + 4.0) / 6.0,
        (3.0 * s * s * s - 6.0 * s * s + 4.0) / 6.0,
        t * t * t / 6.0
    );
}

// Linear r, g, b and Y of the softened picture.
vec4 softened(ivec2 pixel) {
    ivec2 cells = textureSize(u_cells, 0);
    vec2 place = u_picture_from_canvas.xy + (vec2(pixel) + 0.5) * u_picture_from_canvas.zw;
    vec2 at = place * vec2(cells) - 0.5;
    vec2 first = floor(at);
    vec4 across = weights(at.x - first.x);
    vec4 down = weights(at.y - first.y);
    vec4 sum = vec4(0.0);
    for (int row = 0; row < 4; row++) {
        for (int column = 0; column < 4; column++) {
            ivec2 cell = clamp(ivec2(first) + ivec2(column, row) - 1, ivec2(0), cells - 1);
            sum += across[column] * down[row] * texelFetch(u_cells, cell, 0);
        }
    }
    return sum;
}

#ifdef SQUINT

uint code_at(ivec2 pixel) {
    return code_of(softened(pixel).a);
}

uvec3 colour_at(ivec2 pixel) {
    vec3 linear = softened(pixel).rgb;
    return uvec3(grey_of(code_of(linear.r)), grey_of(code_of(linear.g)), grey_of(code_of(linear.b)));
}

#else

uint code_at(ivec2 pixel) {
    return sharp_code(pixel);
}

uvec3 colour_at(ivec2 pixel) {
    return sharp_colour(pixel);
}

#endif

bool on_outline(ivec2 pixel, int band) {
    for (int way = 1; way <= u_line; way++) {
        if (pixel.x + way < u_canvas.x && band_of(code_at(pixel + ivec2(way, 0))) != band) return true;
        if (pixel.y + way < u_canvas.y && band_of(code_at(pixel + ivec2(0, way))) != band) return true;
    }
    return false;
}

bool counts(ivec2 pixel) {
    for (int side = 0; side < 4; side++) {
        if (dot(u_frame[side], vec3(vec2(pixel) + 0.5, 1.0)) < 0.0) return false;
    }
    return true;
}

uvec3 shown(ivec2 pixel) {
#if VIEW == COLOUR
    return colour_at(pixel);
#else
    uint code = code_at(pixel);
#if VIEW == LIGHTNESS
    return uvec3(grey_of(code));
#else
    int band = band_of(code);
#if VIEW == BANDS
    return uvec3(u_greys[band - 1]);
#else
    if (!on_outline(pixel, band)) return colour_at(pixel);
    return uvec3(lightness_of(code) < OUTLINE_TURNS ? 255u : 0u);
#endif
#endif
#endif
}

uint dimmed(uint code) {
    return texelFetch(u_dim, ivec2(code, 0), 0).r;
}

void main() {
    ivec2 pixel = ivec2(gl_FragCoord.x, u_canvas.y - 1 - int(gl_FragCoord.y));
    uvec3 rgb = shown(pixel);
#ifdef FRAMED
    if (!counts(pixel)) rgb = uvec3(dimmed(rgb.r), dimmed(rgb.g), dimmed(rgb.b));
#endif
    o_colour = vec4(vec3(rgb) / 255.0, 1.0);
}
