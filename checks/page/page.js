'use strict';
(() => {
const $ = (s, of = document) => of.querySelector(s);
const $$ = (s, of = document) => [...of.querySelectorAll(s)];
const root = document.documentElement;

// --- Light or dark: as the system has it, until the button says otherwise.
const tone = $('#tone');
const dark = matchMedia('(prefers-color-scheme: dark)');
function setTone(isDark) {
  root.dataset.tone = isDark ? 'dark' : 'light';
  tone.textContent = isDark ? 'Light page' : 'Dark page';
  desk?.draw();
}
let desk = null;
setTone(dark.matches);
dark.addEventListener('change', e => setTone(e.matches));
tone.addEventListener('click', () => setTone(root.dataset.tone !== 'dark'));

// --- Search, filters, order.
const tools = $('.tools'), grid = $('.grid'), main = $('main');
const cards = $$('li', grid), articles = $$('article');
const grave = ['fail', 'unreadable', 'not judged', 'borderline', 'warn', 'waived', 'pass'];
tools.hidden = false;
const texts = articles.map(a => (a.querySelector('h2').textContent + ' ' + $('.about', a).textContent + ' ' + $$('.findings > li', a).map(li => li.dataset.check + ' ' + $('h3', li).textContent).join(' ')).toLowerCase());
function choose() {
  const words = $('#find').value.toLowerCase().split(/\s+/).filter(Boolean);
  const verdicts = new Set($$('input[name=verdict]:checked').map(i => i.value));
  const check = $('#check').value;
  let n = 0;
  articles.forEach((a, i) => {
    const fits = verdicts.has(a.dataset.verdict) && words.every(w => texts[i].includes(w)) &&
      (!check || $$('.findings > li', a).some(li => li.dataset.check.split(' ').includes(check)));
    a.hidden = cards[i].hidden = !fits;
    n += fits;
  });
  $('#shown').textContent = n === articles.length ? '' : n + ' of ' + articles.length + ' shown';
  $('#none').hidden = n > 0;
}
function sort() {
  const by = $('#order').value;
  const key = i => by === 'name' ? $('h2', articles[i]).textContent : by === 'grave' ? grave.indexOf(articles[i].dataset.verdict) : i;
  const list = articles.map((_, i) => i).sort((a, b) => { const x = key(a), y = key(b); return x < y ? -1 : x > y ? 1 : a - b; });
  for (const i of list) { grid.append(cards[i]); main.insertBefore(articles[i], $('#none')); }
}
tools.addEventListener('input', e => e.target.id === 'order' ? sort() : choose());
tools.addEventListener('submit', e => e.preventDefault());
addEventListener('beforeprint', () => { $('.origin').open = true; }); // passing readings print where they are open

// --- The turnable view: one canvas, lent to the insert that is looked at.
function probe() {
  try { return !!document.createElement('canvas').getContext('webgl2') && 'DecompressionStream' in window; } catch { return false; }
}
if (!probe()) { root.classList.add('flat'); return; }
for (const b of $$('.turn')) { b.hidden = false; b.addEventListener('click', () => turn(b)); }

async function turn(button) {
  button.disabled = true;
  try {
    const model = await unpack(button.dataset.model);
    if (desk) desk.leave();
    desk = new Desk(button.closest('article'), model);
  } catch (e) {
    button.closest('article').classList.add('flat');
    root.classList.add('flat');
    button.insertAdjacentText('afterend', ' It cannot be drawn here: ' + e.message);
  }
  button.disabled = false;
}

async function unpack(text) {
  const raw = Uint8Array.from(atob(text), c => c.charCodeAt(0));
  const stream = new Blob([raw]).stream().pipeThrough(new DecompressionStream('gzip'));
  const data = await new Response(stream).arrayBuffer();
  const view = new DataView(data);
  if (view.getUint32(0, true) !== 0x46546C67) throw new Error('no binary glTF');
  const length = view.getUint32(12, true);
  const doc = JSON.parse(new TextDecoder().decode(new Uint8Array(data, 20, length)));
  const base = 20 + length + 8;
  const part = i => {
    const a = doc.accessors[i], v = doc.bufferViews[a.bufferView];
    return { a, stride: v.byteStride || 0, at: base + (v.byteOffset || 0) + (a.byteOffset || 0), bytes: v.byteLength - (a.byteOffset || 0) };
  };
  const p = doc.meshes[0].primitives[0];
  const position = part(p.attributes.POSITION), index = part(p.indices);
  const values = '_VALUES' in p.attributes ? part(p.attributes._VALUES) : null;
  return {
    info: doc.meshes[0].extras, count: index.a.count, wide: index.a.componentType === 5125,
    position: new Uint8Array(data, position.at, position.bytes), positionStride: position.stride || 8,
    values: values && new Uint8Array(data, values.at, values.bytes),
    index: new Uint8Array(data, index.at, index.a.count * (index.a.componentType === 5125 ? 4 : 2)),
  };
}

const vertexText = `#version 300 es
in vec3 number; in vec4 values;
uniform vec3 origin, stepMM; uniform mat4 toClip;
out vec3 at; flat out vec4 value;
void main() { at = origin + stepMM * number; value = values * 255.0; gl_Position = toClip * vec4(at, 1.0); }`;
const fragmentText = `#version 300 es
precision highp float;
in vec3 at; flat in vec4 value;
uniform vec4 cut; uniform vec3 toEye, right, up, metal; uniform int layer; uniform sampler2D tones; uniform bool asks, inks; uniform vec2 bad; uniform float pitch;
out vec4 colour;
void main() {
  if (dot(cut.xyz, at) > cut.w) discard;
  float v = layer == 0 ? value.x : layer == 1 ? value.y : layer == 2 ? value.z : layer == 3 ? value.w : 0.0;
  if (asks) { colour = vec4(v / 255.0, 1.0, 0.0, 1.0); return; }
  if (inks) { colour = vec4(0.14, 0.17, 0.19, 1.0); return; }
  if (!gl_FrontFacing) {
    float s = mod(dot(at, right + up) / pitch, 2.0);
    colour = vec4(s < 1.0 ? vec3(0.80, 0.47, 0.65) : vec3(0.70, 0.38, 0.56), 1.0); return;
  }
  vec3 n = normalize(cross(dFdx(at), dFdy(at)));
  if (dot(n, toEye) < 0.0) n = -n;
  vec3 base = v > 0.5 ? texelFetch(tones, ivec2(int(v + 0.5), 0), 0).rgb : metal;
  if (v > 0.5 && v >= bad.x && v <= bad.y) {
    float s = mod(dot(at, right - up) / pitch, 2.0);
    if (s < 0.7) base *= 0.62;
  }
  float key = max(dot(n, normalize(toEye + 0.55 * up - 0.35 * right)), 0.0);
  float fill = 0.5 + 0.5 * dot(n, up);
  colour = vec4(base * (0.36 + 0.62 * key + 0.14 * fill), 1.0);
}`;

// The ramp for measured layers goes from dark to light, so that it reads without colour too.
const { ramp, kinds: kindTones } = JSON.parse(root.dataset.tones);
function rampAt(x) {
  const p = Math.min(Math.max(x, 0), 1) * (ramp.length - 1), i = Math.min(Math.floor(p), ramp.length - 2), f = p - i;
  return ramp[i].map((c, k) => Math.round(c + (ramp[i + 1][k] - c) * f));
}

class Desk {
  constructor(article, model) {
    this.article = article; this.model = model; this.info = model.info;
    this.image = $('.view > img', article); this.image.hidden = true;
    $('.view', article).append($('#desk').content.cloneNode(true));
    $('.stage', article).append($('#levers').content.cloneNode(true));
    this.button = $('.turn', article); this.button.hidden = true;
    const says = $('.says', article); if (says) says.hidden = false;
    this.canvas = $('canvas', article); this.marksBox = $('.marks', article); this.reading = $('.reading', article);
    const o = this.info.origin_mm, s = this.info.step_mm;
    this.size = s.map(x => x * 65535); this.middle = o.map((x, i) => x + this.size[i] / 2);
    this.radius = Math.hypot(...this.size) / 2;
    this.build(); this.levers(); this.marks(); this.listen(); this.all();
    this.canvas.focus({ preventScroll: true });
  }
  leave() {
    this.watch.disconnect();
    this.gl.getExtension('WEBGL_lose_context')?.loseContext();
    $('.desk', this.article).remove(); $('.levers', this.article).remove();
    const says = $('.says', this.article); if (says) says.hidden = true;
    this.image.hidden = false; this.button.hidden = false;
  }
  build() {
    const gl = this.gl = this.canvas.getContext('webgl2', { antialias: true, preserveDrawingBuffer: true });
    const program = gl.createProgram();
    for (const [kind, text] of [[gl.VERTEX_SHADER, vertexText], [gl.FRAGMENT_SHADER, fragmentText]]) {
      const s = gl.createShader(kind); gl.shaderSource(s, text); gl.compileShader(s);
      if (!gl.getShaderParameter(s, gl.COMPILE_STATUS)) throw new Error(gl.getShaderInfoLog(s));
      gl.attachShader(program, s);
    }
    gl.bindAttribLocation(program, 0, 'number'); gl.bindAttribLocation(program, 1, 'values');
    gl.linkProgram(program); gl.useProgram(program);
    this.at = name => gl.getUniformLocation(program, name);
    const put = (target, data) => { gl.bindBuffer(target, gl.createBuffer()); gl.bufferData(target, data, gl.STATIC_DRAW); };
    this.surface = gl.createVertexArray(); gl.bindVertexArray(this.surface);
    put(gl.ARRAY_BUFFER, this.model.position);
    gl.enableVertexAttribArray(0); gl.vertexAttribPointer(0, 3, gl.UNSIGNED_SHORT, false, this.model.positionStride, 0);
    if (this.model.values) {
      put(gl.ARRAY_BUFFER, this.model.values);
      gl.enableVertexAttribArray(1); gl.vertexAttribPointer(1, 4, gl.UNSIGNED_BYTE, true, 4, 0);
    }
    put(gl.ELEMENT_ARRAY_BUFFER, this.model.index);
    const edges = this.edges();
    this.lines = gl.createVertexArray(); gl.bindVertexArray(this.lines); this.lineEnds = edges.length / 3;
    put(gl.ARRAY_BUFFER, edges);
    gl.enableVertexAttribArray(0); gl.vertexAttribPointer(0, 3, gl.UNSIGNED_SHORT, false, 0, 0);
    gl.bindVertexArray(this.surface);
    gl.enable(gl.DEPTH_TEST); gl.enable(gl.POLYGON_OFFSET_FILL); gl.polygonOffset(1, 1);
    gl.bindTexture(gl.TEXTURE_2D, gl.createTexture());
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, gl.NEAREST); gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MAG_FILTER, gl.NEAREST);
    this.spot = gl.createFramebuffer(); // one pixel, to ask what lies under the pointer
    gl.bindFramebuffer(gl.FRAMEBUFFER, this.spot);
    for (const [point, format] of [[gl.COLOR_ATTACHMENT0, gl.RGBA8], [gl.DEPTH_ATTACHMENT, gl.DEPTH_COMPONENT16]]) {
      const r = gl.createRenderbuffer(); gl.bindRenderbuffer(gl.RENDERBUFFER, r);
      gl.renderbufferStorage(gl.RENDERBUFFER, format, 1, 1); gl.framebufferRenderbuffer(gl.FRAMEBUFFER, point, gl.RENDERBUFFER, r);
    }
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
  }
  // edges are the ends of all lines at which two facets meet at more than 25 degrees, or at which one
  // has no neighbour. Corners are told by place: they may be there several times, for their values.
  edges() {
    const stride = this.model.positionStride / 2, p = new Uint16Array(this.model.position.slice().buffer);
    const raw = this.model.index.slice().buffer, index = this.model.wide ? new Uint32Array(raw) : new Uint16Array(raw);
    const places = new Map(), first = new Int32Array(p.length / stride), step = this.info.step_mm;
    for (let v = 0; v < first.length; v++) {
      const key = (p[v * stride] * 65536 + p[v * stride + 1]) * 65536 + p[v * stride + 2];
      if (!places.has(key)) places.set(key, v);
      first[v] = places.get(key);
    }
    const at = v => [0, 1, 2].map(i => p[v * stride + i] * step[i]);
    const seen = new Map(), out = [];
    const line = (a, b) => { for (const v of [a, b]) out.push(p[v * stride], p[v * stride + 1], p[v * stride + 2]); };
    for (let t = 0; t < index.length; t += 3) {
      const c = [first[index[t]], first[index[t + 1]], first[index[t + 2]]], q = c.map(at);
      const n = unit(cross(q[1].map((x, i) => x - q[0][i]), q[2].map((x, i) => x - q[0][i])));
      for (let k = 0; k < 3; k++) {
        const a = Math.min(c[k], c[(k + 1) % 3]), b = Math.max(c[k], c[(k + 1) % 3]), key = a * first.length + b, m = seen.get(key);
        if (!m) seen.set(key, n);
        else { seen.delete(key); if (dot(m, n) < 0.906) line(a, b); }
      }
    }
    for (const key of seen.keys()) line(Math.floor(key / first.length), key % first.length);
    return new Uint16Array(out);
  }
  levers() {
    const a = this.article;
    this.layerAt = $('.layer', a); this.axis = $('.axis', a); this.depth = $('.depth', a);
    this.layerAt.append(new Option('steel', '-1'));
    (this.info.layers || []).forEach((l, i) => this.layerAt.append(new Option(l.title.toLowerCase(), String(i))));
    this.layerAt.addEventListener('input', () => { this.setLayer(); this.draw(); });
    this.axis.addEventListener('input', () => { $('.at', a).hidden = this.axis.value === ''; this.setLayer(); this.draw(); });
    this.depth.addEventListener('input', () => this.draw());
    $$('.views button', a).forEach(b => b.addEventListener('click', () => { this.toEye = unit(b.dataset.eye.split(' ').map(Number)); this.all(this.toEye); }));
    this.setLayer();
  }
  setLayer() {
    const gl = this.gl, n = Number(this.layerAt.value), legend = $('.legend', this.article);
    this.layer = n; legend.replaceChildren(); this.bad = [1, 0];
    const tones = new Uint8Array(256 * 4);
    const l = this.info.layers?.[n];
    const key = (text, style) => {
      const k = document.createElement('span'), s = document.createElement('span');
      k.className = 'key'; s.className = 'swatch'; s.style.background = style; k.append(s, text); legend.append(k);
    };
    if (l) {
      for (let i = 1; i < 256; i++) tones.set([...(l.kinds ? kindTones[(i - 1) % kindTones.length] : rampAt((i - 1) / 254)), 255], 4 * i);
      if (l.kinds) {
        const there = new Set();
        for (let i = n; i < this.model.values.length; i += 4) there.add(this.model.values[i]);
        l.kinds.forEach((k, i) => { if (there.has(i + 1)) key(k, `rgb(${kindTones[i % kindTones.length]})`); });
      } else {
        const bar = document.createElement('span'); bar.className = 'ramp';
        bar.style.background = `linear-gradient(to right, ${ramp.map(c => `rgb(${c})`)})`;
        const scale = document.createElement('span'); scale.className = 'key';
        scale.append(`${short(l.low)} ${l.unit}`, bar, `${short(l.high)} ${l.unit}`); legend.append(scale);
        if (l.limit !== undefined && l.limit !== null) {
          const at = 1 + 254 * (l.limit - l.low) / (l.high - l.low);
          this.bad = l.least ? [1, at - 0.5] : [at + 0.5, 255];
          key(`${l.least ? 'under' : 'over'} ${short(l.limit)} ${l.unit}`, 'repeating-linear-gradient(45deg, #555 0 3px, #bbb 3px 6px)');
        }
        if (l.none) key(l.none, `rgb(${this.metal().map(x => Math.round(255 * x))})`);
      }
    }
    // A cut and an open surface show the inside of the skin.
    if (this.axis.value !== '' || $('.findings > li[data-check~="file.solid"]', this.article)) key('inside of the surface', 'repeating-linear-gradient(45deg, #cc78a6 0 3px, #b3618f 3px 6px)');
    gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA8, 256, 1, 0, gl.RGBA, gl.UNSIGNED_BYTE, tones);
  }
  metal() { return [0.675, 0.714, 0.749]; }
  marks() {
    this.places = $$('.findings > li[data-at]', this.article).map(li => {
      const b = document.createElement('button');
      b.type = 'button'; b.textContent = li.dataset.mark; b.className = li.dataset.verdict.replaceAll(' ', '-');
      b.setAttribute('aria-label', 'finding ' + li.dataset.mark + ': ' + li.dataset.check);
      li.tabIndex = -1;
      b.addEventListener('click', () => { li.scrollIntoView({ block: 'nearest' }); li.focus({ preventScroll: true }); });
      this.marksBox.append(b);
      return { b, at: li.dataset.at.split(' ').map(Number) };
    });
  }
  all(toEye) {
    this.toEye = toEye || unit([0.42, -0.62, 0.66]); this.focus = [...this.middle];
    this.up = Math.abs(this.toEye[2]) > 0.999 ? [0, 1, 0] : [0, 0, 1];
    // The box around the insert just fits: half its extent along a direction is the sum of its sides' shares.
    const reach = d => this.size.reduce((s, x, i) => s + x / 2 * Math.abs(d[i]), 0), [r, u] = this.axes();
    this.zoom = 0.94 * this.radius / Math.max(reach(r), reach(u));
    this.draw();
  }
  axes() {
    const right = unit(cross(this.up, this.toEye));
    return [right, cross(this.toEye, right), this.toEye];
  }
  rotate(dx, dy) { // about the upright axis, then about the picture's level one
    if (Math.abs(this.toEye[2]) > 0.999 && this.up[2] === 0) this.toEye = unit([this.toEye[0], this.toEye[1] - 0.02, this.toEye[2]]);
    this.up = [0, 0, 1];
    let e = turned(this.toEye, [0, 0, 1], -dx);
    const right = unit(cross(this.up, e)), tilted = turned(e, right, -dy);
    if (Math.abs(tilted[2]) < 0.998) e = tilted;
    this.toEye = unit(e); this.draw();
  }
  move(dx, dy) {
    const [r, u] = this.axes(), k = 2 * this.radius / this.zoom / this.canvas.clientHeight;
    this.focus = this.focus.map((x, i) => x - k * dx * r[i] + k * dy * u[i]); this.draw();
  }
  listen() {
    const c = this.canvas, fingers = new Map();
    let gap = 0;
    c.addEventListener('pointerdown', e => { c.setPointerCapture(e.pointerId); fingers.set(e.pointerId, e); gap = 0; });
    for (const end of ['pointerup', 'pointercancel']) c.addEventListener(end, e => { fingers.delete(e.pointerId); gap = 0; });
    c.addEventListener('pointermove', e => {
      const last = fingers.get(e.pointerId);
      if (!last) { this.tell(e); return; }
      const dx = e.clientX - last.clientX, dy = e.clientY - last.clientY;
      fingers.set(e.pointerId, e);
      if (fingers.size > 1) {
        const [a, b] = [...fingers.values()], now = Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY);
        if (gap) this.zoomBy(now / gap);
        gap = now;
      } else if (e.shiftKey || e.buttons & 6) this.move(dx, dy);
      else this.rotate(dx / 130, dy / 130);
    });
    c.addEventListener('contextmenu', e => e.preventDefault());
    c.addEventListener('wheel', e => { e.preventDefault(); this.zoomBy(Math.exp(-e.deltaY / 600)); }, { passive: false });
    c.addEventListener('dblclick', () => this.all());
    c.addEventListener('keydown', e => {
      const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[e.key];
      if (step) e.shiftKey ? this.move(20 * step[0], 20 * step[1]) : this.rotate(step[0] / 8, step[1] / 8);
      else if (e.key === '+' || e.key === '=') this.zoomBy(1.2);
      else if (e.key === '-') this.zoomBy(1 / 1.2);
      else if (e.key === 'Home') this.all();
      else return;
      e.preventDefault();
    });
    this.watch = new ResizeObserver(() => this.draw()); this.watch.observe(c);
  }
  zoomBy(k) { this.zoom = Math.min(Math.max(this.zoom * k, 0.5), 40); this.draw(); }
  // toClip is a parallel projection: lengths across the line of sight keep their scale. spot, in clip
  // coordinates, becomes the middle of a picture of one pixel.
  toClip(spot, pixels) {
    const [r, u, e] = this.axes(), k = this.zoom / this.radius, d = 1 / (3 * this.radius);
    const row = (a, s) => [a[0] * s, a[1] * s, a[2] * s, -dot(a, this.focus) * s];
    const x = row(r, k * this.canvas.clientHeight / this.canvas.clientWidth), y = row(u, k), z = row(e, -d / 2);
    if (spot) { x[3] -= spot[0]; y[3] -= spot[1]; for (let i = 0; i < 4; i++) { x[i] *= pixels[0]; y[i] *= pixels[1]; } }
    return [x[0], y[0], z[0], 0, x[1], y[1], z[1], 0, x[2], y[2], z[2], 0, x[3], y[3], z[3], 1];
  }
  cutAt() {
    const out = $('.at output', this.article);
    if (this.axis.value === '') return [0, 0, 0, 1];
    const i = Number(this.axis.value), t = Number(this.depth.value) / 1000;
    const w = this.info.origin_mm[i] + this.size[i] * t;
    out.textContent = 'xyz'[i] + ' = ' + w.toFixed(1) + ' mm';
    // What lies towards the eye is taken away.
    const sign = this.toEye[i] < 0 ? -1 : 1, cut = [0, 0, 0, sign * w];
    cut[i] = sign; return cut;
  }
  pass(clip, asks) {
    const gl = this.gl, [r, u, e] = this.axes();
    gl.uniformMatrix4fv(this.at('toClip'), false, clip);
    gl.uniform3fv(this.at('origin'), this.info.origin_mm); gl.uniform3fv(this.at('stepMM'), this.info.step_mm);
    gl.uniform3fv(this.at('toEye'), e); gl.uniform3fv(this.at('right'), r); gl.uniform3fv(this.at('up'), u);
    gl.uniform3fv(this.at('metal'), this.metal()); gl.uniform4fv(this.at('cut'), this.cutAt());
    gl.uniform1i(this.at('layer'), this.layer); gl.uniform1i(this.at('asks'), asks ? 1 : 0);
    gl.uniform2fv(this.at('bad'), this.bad); gl.uniform1f(this.at('pitch'), this.radius / this.zoom / 45);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    gl.uniform1i(this.at('inks'), 0);
    gl.drawElements(gl.TRIANGLES, this.model.count, this.model.wide ? gl.UNSIGNED_INT : gl.UNSIGNED_SHORT, 0);
    if (asks) return;
    gl.bindVertexArray(this.lines); gl.uniform1i(this.at('inks'), 1);
    gl.drawArrays(gl.LINES, 0, this.lineEnds);
    gl.bindVertexArray(this.surface);
  }
  draw() {
    const c = this.canvas, gl = this.gl, k = Math.min(devicePixelRatio || 1, 2);
    const w = Math.round(c.clientWidth * k), h = Math.round(c.clientHeight * k);
    if (!w || !h) return;
    if (c.width !== w || c.height !== h) { c.width = w; c.height = h; }
    gl.viewport(0, 0, w, h); gl.clearColor(0, 0, 0, 0);
    const clip = this.toClip();
    this.pass(clip, false);
    const cut = this.cutAt();
    for (const p of this.places) {
      const q = [...p.at, 1], x = [0, 1].map(i => q.reduce((s, v, j) => s + clip[4 * j + i] * v, 0));
      p.b.style.transform = `translate(${(x[0] + 1) / 2 * c.clientWidth}px, ${(1 - x[1]) / 2 * c.clientHeight}px)`;
      p.b.hidden = Math.abs(x[0]) > 1 || Math.abs(x[1]) > 1;
      p.b.classList.toggle('hides', dot(cut.slice(0, 3), p.at) > cut[3] + 1e-6);
    }
  }
  tell(e) {
    const l = this.info.layers?.[this.layer];
    if (!l) { this.reading.textContent = ''; return; }
    const gl = this.gl, c = this.canvas, box = c.getBoundingClientRect();
    const spot = [2 * (e.clientX - box.left) / box.width - 1, 1 - 2 * (e.clientY - box.top) / box.height];
    gl.bindFramebuffer(gl.FRAMEBUFFER, this.spot); gl.viewport(0, 0, 1, 1); gl.clearColor(0, 0, 0, 0);
    this.pass(this.toClip(spot, [box.width, box.height]), true);
    const p = new Uint8Array(4); gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, p);
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
    let text = '';
    if (p[1] > 0) {
      if (p[0] === 0) text = l.none || '';
      else if (l.kinds) text = l.kinds[p[0] - 1] || '';
      else { const v = l.low + (l.high - l.low) * (p[0] - 1) / 254; text = (p[0] === 255 ? 'at least ' : p[0] === 1 ? 'at most ' : 'about ') + short(v) + ' ' + l.unit; }
    }
    if (text !== this.reading.textContent) this.reading.textContent = text;
  }
}
const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const unit = a => { const l = Math.hypot(...a) || 1; return a.map(x => x / l); };
const short = x => String(Number(x.toPrecision(3)));
// turned is a about the unit axis k by an angle (Rodrigues).
function turned(a, k, angle) {
  const c = Math.cos(angle), s = Math.sin(angle), x = cross(k, a), d = dot(k, a) * (1 - c);
  return a.map((v, i) => v * c + x[i] * s + k[i] * d);
}
})();
