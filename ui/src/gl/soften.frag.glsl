// The first step of core's squint.rs for a camera's frame: averaged by area, in linear light, to a few cells. The tail
// does the second.
//
// The average is taken along rows first, into columns of cells as tall as the frame, then down those: as exact as at
// once, and a software renderer can share the work out.

#ifdef ALONG_ROWS
#define AXIS x
#else
#define AXIS y
// What was averaged along rows: linear r, g and b.
uniform sampler2D u_columns;
#endif

// Columns or rows of cells.
uniform int u_cell_count;

// Linear r, g, b and Y.
out vec4 o_cell;

void main() {
    ivec2 at = ivec2(gl_FragCoord.xy);
    int pixels = textureSize(u_video, 0).AXIS;
    float side = float(pixels) / float(u_cell_count);
    float from = float(at.AXIS) * side;
    float to = from + side;
    vec4 sum = vec4(0.0);
    for (int pixel = int(from); pixel < min(int(ceil(to)), pixels); pixel++) {
        float cover = max(min(float(pixel + 1), to) - max(float(pixel), from), 0.0);
#ifdef ALONG_ROWS
        vec3 light = light_at(ivec2(pixel, at.y));
#else
        vec3 light = texelFetch(u_columns, ivec2(at.x, pixel), 0).rgb;
#endif
        sum += cover * vec4(light, 1.0);
    }
    vec3 mean = sum.rgb / sum.a;
    o_cell = vec4(mean, y_of(mean));
}
