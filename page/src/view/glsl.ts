// What runs on the graphics processor. Lamps stand still for the viewer, not for the head, so that every side is lit alike.
// Light at hair follows the same papers as the program's pictures (src/draw/hair_shine.c): Marschner and others 2003 for what
// glances off, goes through and comes back, Kajiya and Kay 1989 for the rest; shadow is followed through a grid of hair and
// head (after Kniss and others 2003, "A model for volume lighting and modeling", from memory) once for each node.

const LAMPS = /* glsl */ `
uniform vec3 seenRight, seenUp, seenToward;
const vec3 KEY = vec3(-.601, .621, .501), FILL = vec3(.804, .1, .583), RIM = vec3(.621, .42, -.661);
const vec3 KEY_LIGHT = vec3(1.55, 1.47, 1.36), RIM_LIGHT = vec3(.3, .32, .35);
const vec3 ABOVE = vec3(.33, .345, .37), BELOW = vec3(.13, .12, .11);
vec3 fromSeen(vec3 v) { return seenRight * v.x + seenUp * v.y + seenToward * v.z; }
vec3 toSeen(vec3 v) { return vec3(dot(v, seenRight), dot(v, seenUp), dot(v, seenToward)); }
`

const AIR = /* glsl */ `
uniform sampler3D air;
uniform vec3 airLow, airSize;
vec2 airAt(vec3 p) { // hairs a metre, metres from the bust
  vec2 a = texture(air, (p - airLow) / airSize).rg;
  return vec2(a.x * 4000., (a.y * 2. - 1.) * .064);
}
// Hairs on the way, and how much of a lamp of some width the head lets past.
vec2 follow(vec3 p, vec3 way) {
  float depth = 0., past = 1., t = .004;
  for (int i = 0; i < 6; i++) {
    float next = t * 1.75 + .001;
    vec2 a = airAt(p + way * (t + next) * .5);
    depth += a.x * (next - t);
    past = min(past, .5 + 2.2 * a.y / next);
    t = next;
  }
  return vec2(depth, smoothstep(0., 1., past));
}
`

const HASH = /* glsl */ `
uint stir(uint x) { x ^= x >> 16; x *= 0x7feb352du; x ^= x >> 15; x *= 0x846ca68bu; return x ^ (x >> 16); }
float lot(inout uint s) { s = stir(s + 0x9e3779b9u); return float(s >> 8) / 16777216.; }
`

const NODES = /* glsl */ `
precision highp isampler2D;
uniform isampler2D nodes;
uniform float reach;
vec3 nodeOf(int hair, int k) { return vec3(texelFetch(nodes, ivec2((hair & 31) * 32 + k, hair >> 5), 0).xyz) * (reach / 32767.); }
`

const HEAD = 'precision highp float;\nprecision highp int;\nprecision highp sampler2D;\nprecision highp sampler3D;\n'

export const wholeVertex = `${HEAD}
in vec3 position;
out vec2 at;
void main() { at = position.xy * .5 + .5; gl_Position = vec4(position.xy, 0., 1.); }
`

// ---- light at every node: large lamp, sky, weak lamp, lamp behind ----

export const nodeLight = `${HEAD}${LAMPS}${AIR}${NODES}
out vec4 result;
uniform vec3 centre;
void main() {
  ivec2 at = ivec2(gl_FragCoord.xy);
  int hair = at.y * 32 + (at.x >> 4), k = at.x & 15;
  vec3 p = nodeOf(hair, 2 * k);
  vec3 out_ = p - centre;
  out_.y = max(out_.y, 0.);
  out_ = normalize(out_ + vec3(0., 1e-5, 0.));
  vec2 key = follow(p, fromSeen(KEY)), fill = follow(p, fromSeen(FILL)), rim = follow(p, fromSeen(RIM));
  float deep = 0., open = 1.;
  for (int i = 0; i < 4; i++) {
    float t = .003 + .0085 * float(i);
    vec2 a = airAt(p + out_ * t);
    deep += a.x * .0085;
  }
  vec2 under = airAt(p + out_ * .03);
  open = exp(-.10 * deep) * clamp(.25 + under.y / .03, .15, 1.);
  result = vec4(exp(-.40 * key.x) * key.y, open, exp(-.2 * fill.x) * fill.y, exp(-.2 * rim.x) * rim.y);
}
`

// ---- hair ----

export const hairVertex = `${HEAD}${LAMPS}${NODES}${HASH}
in float node;
in float side;
in vec4 self; // its number, tint, lock, length
in vec4 beside;
in vec2 tone; // how wide, how pale
uniform sampler2D light, palette;
uniform mat4 projectionMatrix, viewMatrix;
uniform vec3 eye, centre;
uniform vec2 jitter;
uniform float wide, least, spread, stray;
uniform int each, round, stride;
uniform vec3 castLow, castHigh, onceLow, onceHigh;
uniform vec3 lengths; // share of the colour, shortest, longest
uniform vec3 paler; // what pale hair fades to
uniform float ground;
out vec4 colour;

struct Bend { vec3 aside, other; vec2 offset, lean; float lift, size, phase, pitch; };
vec3 bent(vec3 p, float s, float way, Bend b) {
  float rise = min(1., s / .012);
  float swing = b.size * min(1., s / .05) * sin(6.2832 * s / b.pitch + b.phase);
  vec2 a = b.offset + clamp(b.lean * s, -.002, .002);
  vec3 o = p - centre; o.y = max(o.y, 0.); o = normalize(o + vec3(0., 1e-5, 0.));
  return p + b.aside * (a.x + swing) + b.other * a.y + o * (b.lift * rise + .3 * abs(swing));
}
float bell(float x, float w) { float u = x / w; return exp(-.5 * u * u); }

void main() {
  int hair = int(self.x), child = gl_InstanceID % each + each * round;
  uint s = stir(uint(hair) * 0x9e3779b9u + uint(child) * 0x85ebca6bu + 7u);
  float pick = lot(s), toward = spread * .5 * lot(s);
  int other = int(pick < .25 ? beside.x : pick < .5 ? beside.y : pick < .75 ? beside.z : beside.w);
  int k = int(node), k0 = k == 30 ? k - stride : k, k1 = k0 + stride;
  vec3 root = nodeOf(hair, 0);
  vec3 a = mix(nodeOf(hair, k0), nodeOf(other, k0), toward), b = mix(nodeOf(hair, k1), nodeOf(other, k1), toward);
  Bend d;
  vec3 o = normalize(root - centre);
  d.aside = normalize(cross(vec3(0., 1., .02), o));
  d.other = cross(o, d.aside);
  float turn = 6.2832 * lot(s), r = spread * .0011 * sqrt(lot(s));
  d.offset = r * vec2(cos(turn), sin(turn));
  float up = lot(s);
  d.lift = stray * min(.0012 * up * up + .0008 * self.z, .1 * self.w);
  d.lean = stray * .014 * vec2(lot(s) + lot(s) - 1., lot(s) + lot(s) - 1.);
  d.size = stray * (.0008 * (2. * lot(s) - 1.) + .0011 * (2. * self.z - 1.));
  d.phase = 6.2832 * fract(self.z * 17.) + 1.5 * lot(s);
  d.pitch = .05 + .06 * fract(self.z * 5.);
  float trim = lot(s), tint = fract(self.y + .55 * lot(s));
  float w0 = float(k0) / 30., w1 = float(k1) / 30.;
  a = bent(a, self.w * w0, w0, d);
  b = bent(b, self.w * w1, w1, d);
  b = mix(b, a, k1 == 30 ? min(.5, stray * trim * trim * .004 / max(1e-4, self.w / 15.)) : 0.);
  vec3 p = k == 30 ? b : a, t = b - a;
  float len = length(t);
  t = len > 1e-7 ? t / len : o;
  float way = float(k) / 30.;
  vec3 sight = eye - p;
  float far = length(sight);
  vec3 across = cross(t, sight / far);
  float al = length(across);
  across = al > 1e-4 ? across / al : seenRight;
  float half_ = max(.5 * wide * tone.x * (1. - .72 * smoothstep(.72, 1., way)), .5 * least * far * min(1., 4. * tone.x));
  vec3 q = p + across * half_ * side * step(1e-6, len) * step(.004, tone.x);
  gl_Position = projectionMatrix * viewMatrix * vec4(q, 1.);
  gl_Position.xy += jitter * gl_Position.w;

  // light
  vec4 l = texelFetch(light, ivec2((hair & 31) * 16 + (k >> 1), hair >> 5), 0);
  l.y *= mix(.72, 1., up * up); // hair that lies lower among its neighbours
  vec3 along = toSeen(t);
  float shade = .42 + .36 * tint + .22 * self.z;
  vec3 body = mix(castLow, castHigh, shade), once = mix(onceLow, onceHigh, shade), block = 1. - .8 * once;
  float sinEye = along.z, cosEye = sqrt(max(1e-4, 1. - sinEye * sinEye));
  float tilt = .06 * (2. * fract(tint * 97.) - 1.);
  vec3 sum = vec3(0.);
  for (int i = 0; i < 3; i++) {
    vec3 lamp = i == 0 ? KEY : i == 1 ? FILL : RIM;
    vec3 reachOf = i == 0 ? KEY_LIGHT * pow(vec3(l.x + 1e-4), block) : i == 1 ? vec3(.27, .28, .3) * l.z : RIM_LIGHT * l.w;
    float sinLamp = dot(along, lamp), cosLamp = sqrt(max(1e-4, 1. - sinLamp * sinLamp));
    float around = clamp((lamp.z - sinLamp * sinEye) / (cosLamp * cosEye), -1., 1.);
    float halfway = tilt + .5 * (asin(clamp(sinLamp, -1., 1.)) + asin(clamp(sinEye, -1., 1.)));
    float front = sqrt(.5 + .5 * around);
    float slant = sqrt(max(0., .5 + .5 * (cosLamp * cosEye * around + sinLamp * sinEye)));
    float g = 1. - min(1., slant), glance = .05 + .35 * g * g * g * g * g;
    float off = 2.4 * glance * front * bell(halfway + .09, .095);
    float back = .1 * front * front * bell(halfway - .13, .24);
    float through = .9 * bell(halfway - .05, .10) * exp(-4.5 * (1. + around));
    float matt = .55 * cosLamp + .25 * cosLamp * (1. + around);
    sum += reachOf * (cosLamp * (off + back * pow(once, vec3(1.4)) + through * once) + matt * body);
  }
  vec3 sky = .5 * (ABOVE + BELOW) + .12 * ABOVE;
  sum += 1.5 * (.08 + .92 * l.y) * sky * (body + .008);
  vec3 map = texture(palette, vec2(clamp((self.w - lengths.y) / max(1e-4, lengths.z - lengths.y), 0., 1.) * (17. / 18.) + .5 / 18., .5)).rgb;
  float lit = .50 + .28 * l.x + .22 * l.y + .10 * (tint - .5);
  sum = mix(sum, map * lit, lengths.x);
  sum = mix(sum, paler * (.55 + .45 * l.y), tone.y);
  colour = vec4(sum, 1.) * smoothstep(ground, ground + .05, p.y);
}
`

export const hairFragment = `${HEAD}
in vec4 colour;
out vec4 result;
void main() { result = colour; }
`

// ---- the bust ----

export const bustVertex = `${HEAD}${LAMPS}${AIR}
in vec3 position, normal;
in vec2 kind; // how open it lies, how much hair grows there
uniform mat4 projectionMatrix, viewMatrix;
uniform vec2 jitter;
out vec3 facing;
out vec4 reach; // large lamp, sky, hair before it, roots
out float height;
void main() {
  vec3 p = position + normal * .004;
  vec2 key = follow(p, fromSeen(KEY));
  float open = 1., deep = 0.;
  for (int i = 0; i < 4; i++) {
    float t = .008 * exp2(float(i) * .85);
    vec2 a = airAt(position + normal * t);
    open = min(open, .35 + .65 * clamp(a.y / t, 0., 1.));
    deep += a.x * t * .6;
  }
  facing = toSeen(normal);
  float bare = exp(-.10 * deep);
  reach = vec4(exp(-.35 * key.x) * key.y, open * mix(.45, 1., kind.x) * bare, bare, kind.y);
  height = position.y;
  gl_Position = projectionMatrix * viewMatrix * vec4(position, 1.);
  gl_Position.xy += jitter * gl_Position.w;
}
`

export const bustFragment = `${HEAD}${LAMPS}
in vec3 facing;
in vec4 reach;
in float height;
out vec4 result;
uniform vec3 skin, roots;
uniform float grown, ground;
float falls(vec3 n, vec3 lamp, float wrap) { return max(0., (dot(n, lamp) + wrap) / (1. + wrap)); }
vec3 bounced(float open, vec3 albedo) {
  vec3 a = 2.0404 * albedo - .3324, b = -4.7951 * albedo + .6417, c = 2.7552 * albedo + .6903;
  return max(vec3(open), ((open * a + b) * open + c) * open);
}
void main() {
  vec3 n = normalize(facing);
  vec3 body = mix(skin, roots, clamp(reach.w * grown, 0., 1.));
  float key = clamp(reach.x, 0., 1.), sky = clamp(reach.y, 0., 1.), around = reach.z * reach.z;
  vec3 open = bounced(sky, body);
  vec3 sum = mix(BELOW, ABOVE, .5 + .5 * n.y) * open;
  sum += KEY_LIGHT * pow(falls(n, KEY, .15), 1.4) * (.08 * sky + .92 * key);
  sum += vec3(.15, .165, .19) * open * falls(n, FILL, .3);
  sum += RIM_LIGHT * open * around * falls(n, RIM, .1);
  vec3 c = body * sum;
  float gloss = .07 * pow(max(0., dot(n, normalize(KEY + vec3(0., 0., 1.)))), 24.) * key;
  float edge = .1 * pow(1. - clamp(n.z, 0., 1.), 4.) * sky * around;
  c += vec3(1., .98, .95) * (gloss + edge);
  result = vec4(c, 1.) * smoothstep(ground, ground + .085, height);
}
`

// ---- pictures one after another become one ----

export const meanFragment = `${HEAD}
in vec2 at;
out vec4 result;
uniform sampler2D before, now;
uniform float share;
void main() { result = mix(texture(before, at), texture(now, at), share); }
`

export const showFragment = `${HEAD}
in vec2 at;
out vec4 result;
uniform sampler2D picture, over;
uniform float bright, overlaid;
void main() {
  vec4 p = texture(picture, at);
  vec3 c = bright * p.rgb / max(p.a, 1e-4);
  c = mix(c, 1. - .4 * exp((.6 - c) / .4), step(.6, c));
  c = mix(12.92 * c, 1.055 * pow(max(c, 0.), vec3(1. / 2.4)) - .055, step(.0031308, c));
  vec4 o = overlaid > 0. ? texture(over, at) : vec4(0.);
  result = vec4(c * p.a, p.a) * (1. - o.a) + o;
}
`

export const lineVertex = `${HEAD}
in vec2 corner; // along, across
in vec3 from, to;
in vec4 ink;
uniform mat4 projectionMatrix, viewMatrix;
uniform vec2 frame;
uniform float wide;
out vec4 colour;
out float aside;
void main() {
  vec4 a = projectionMatrix * viewMatrix * vec4(from, 1.), b = projectionMatrix * viewMatrix * vec4(to, 1.);
  vec2 way = b.xy / b.w - a.xy / a.w;
  way *= frame;
  float n = length(way);
  way = n > 1e-4 ? way / n : vec2(1., 0.);
  vec4 p = mix(a, b, corner.x);
  float half_ = wide * .5 + .75;
  vec2 off = (vec2(-way.y, way.x) * corner.y + way * (corner.x * 2. - 1.) * .35) * half_ / frame * 2.;
  p.xy += off * p.w;
  colour = ink;
  aside = corner.y * half_;
  gl_Position = p;
}
`

export const lineFragment = `${HEAD}
in vec4 colour;
in float aside;
out vec4 result;
uniform float wide;
void main() {
  float a = colour.a * clamp(wide * .5 + .5 - abs(aside), 0., 1.);
  result = vec4(colour.rgb * a, a);
}
`

export const plainFragment = `${HEAD}
out vec4 result;
void main() { result = vec4(0.); }
`
