// The first step of core's squint.rs for a camera's frame: averaged by area, in linear light, to a few cells. The tail
// does the second.

// Columns and rows of cells.
uniform ivec2 u_cell_count;

// Linear r, g, b and Y.
out vec4 o_cell;

// How much of a pixel lies between two places along one axis.
float cover(int pixel, float from, float to) {
    return min(float(pixel + 1), to) - max(float(pixel), from);
}

void main() {
    ivec2 cell = ivec2(gl_FragCoord.xy);
    ivec2 pixels = textureSize(u_video, 0);
    vec2 side = vec2(pixels) / vec2(u_cell_count);
    vec2 from = vec2(cell) * side;
    vec2 to = from + side;
    ivec2 end = min(ivec2(ceil(to)), pixels);
    vec4 sum = vec4(0.0);
    for (int row = int(from.y); row < end.y; row++) {
        vec4 line = vec4(0.0);
        for (int column = int(from.x); column < end.x; column++) {
            line += max(cover(column, from.x, to.x), 0.0) * vec4(light_at(ivec2(column, row)), 1.0);
        }
        sum += max(cover(row, from.y, to.y), 0.0) * line;
    }
    vec3 mean = sum.rgb / sum.a;
    o_cell = vec4(mean, y_of(mean));
}
