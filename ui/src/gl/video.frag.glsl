// A camera's source: a frame of 8-bit sRGB made into linear light, codes of Y and colours, by core's own tables.
// A texel of the frame is a pixel of the canvas. Gains and flare hold it to what the light is judged by: 1 and 0 where
// it is shown as the camera saw it.

uniform sampler2D u_video;
// Linear light of each code: a row each for red, green and blue.
uniform sampler2D u_linear;
uniform vec3 u_flare;
uniform vec3 u_gains;
// Luminance of linear red, green and blue.
uniform vec3 u_y_row;

vec3 light_at(ivec2 pixel) {
    ivec3 codes = ivec3(texelFetch(u_video, pixel, 0).rgb * 255.0 + 0.5);
    vec3 seen = vec3(
        texelFetch(u_linear, ivec2(codes.r, 0), 0).r,
        texelFetch(u_linear, ivec2(codes.g, 1), 0).r,
        texelFetch(u_linear, ivec2(codes.b, 2), 0).r
    );
    return (seen - u_flare) * u_gains;
}

float y_of(vec3 light) {
    return u_y_row.r * light.r + u_y_row.g * light.g + u_y_row.b * light.b;
}

#ifndef SOFTEN

uint code_of(float light);
uint grey_of(uint code);

uint sharp_code(ivec2 pixel) {
    return code_of(y_of(light_at(pixel)));
}

uvec3 sharp_colour(ivec2 pixel) {
    vec3 light = light_at(pixel);
    return uvec3(grey_of(code_of(light.r)), grey_of(code_of(light.g)), grey_of(code_of(light.b)));
}

#endif
