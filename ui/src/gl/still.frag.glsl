// A still's source: codes of Y and colours that core made for the device pixels of a region, one texel each.

// Codes of Y.
uniform usampler2D u_codes;
// 8-bit sRGB.
uniform usampler2D u_colours;
// From a canvas pixel's centre to texels: offset in xy, step in zw. At rest a texel is a canvas pixel.
uniform vec4 u_codes_from_canvas;
uniform vec4 u_colours_from_canvas;

ivec2 texel(ivec2 pixel, vec4 from_canvas) {
    return ivec2(floor(from_canvas.xy + (vec2(pixel) + 0.5) * from_canvas.zw));
}

bool inside(ivec2 texel, ivec2 size) {
    return all(greaterThanEqual(texel, ivec2(0))) && all(lessThan(texel, size));
}

// While a gesture runs, what was not fetched yet is taken from the whole picture's coarser pixels.
uniform usampler2D u_whole_codes;
uniform usampler2D u_whole_colours;
uniform vec4 u_whole_codes_from_canvas;
uniform vec4 u_whole_colours_from_canvas;

#ifdef MOVING

uint sharp_code(ivec2 pixel) {
    ivec2 near = texel(pixel, u_codes_from_canvas);
    if (inside(near, textureSize(u_codes, 0))) return texelFetch(u_codes, near, 0).r;
    ivec2 size = textureSize(u_whole_codes, 0);
    return texelFetch(u_whole_codes, clamp(texel(pixel, u_whole_codes_from_canvas), ivec2(0), size - 1), 0).r;
}

uvec3 sharp_colour(ivec2 pixel) {
    ivec2 near = texel(pixel, u_colours_from_canvas);
    if (inside(near, textureSize(u_colours, 0))) return texelFetch(u_colours, near, 0).rgb;
    ivec2 size = textureSize(u_whole_colours, 0);
    return texelFetch(u_whole_colours, clamp(texel(pixel, u_whole_colours_from_canvas), ivec2(0), size - 1), 0).rgb;
}

#else

uint sharp_code(ivec2 pixel) {
    return texelFetch(u_codes, pixel, 0).r;
}

uvec3 sharp_colour(ivec2 pixel) {
    return texelFetch(u_colours, pixel, 0).rgb;
}

#endif
