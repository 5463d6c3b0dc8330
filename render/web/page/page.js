// Loads the program and gives it what a page has: scenes from files, storage, full screen, a place for messages.
'use strict';

const byId = (id) => document.getElementById(id);
const storagePrefix = 'warmbay:' + location.pathname.replace(/[^/]*$/, '') + ':';

function tellVisitor(lines) {
  byId('told-lines').textContent = lines.trim();
  byId('told').hidden = false;
}

// Storage may be refused (a private window) or full: what is kept is then kept for this visit alone.
function keptText(name) {
  try { return localStorage.getItem(storagePrefix + name); } catch (refused) { return null; }
}
function keepText(name, text) {
  try {
    localStorage.setItem(storagePrefix + name, text);
    return true;
  } catch (refused) {
    return false;
  }
}

// Presenting asks for it as well: where the browser refuses, the page presents in the window that it has.
function fillScreen(on) {
  if (on && document.fullscreenEnabled && !document.fullscreenElement) document.documentElement.requestFullscreen().catch(() => {});
  if (!on && document.fullscreenElement) document.exitFullscreen().catch(() => {});
}

function hasWebGl2() {
  try { return document.createElement('canvas').getContext('webgl2') !== null; } catch (refused) { return false; }
}

var Module = {
  canvas: byId('canvas'),
  tellVisitor, keptText, keepText, fillScreen,
  print: (line) => console.log(line),
  printErr: (line) => console.warn(line),
  setStatus: (words) => { if (words) byId('waiting-words').textContent = 'Loading …'; },
  locateFile: (name) => name,
  onAbort: (why) => tellVisitor('The program has stopped: ' + why + '\nReload the page to go on.'),
  preRun: [() => {
    ENV.WARMBAY_HOME = '/warmbay';
    ENV.SDL_EMSCRIPTEN_KEYBOARD_ELEMENT = '#canvas';
  }],
  onRuntimeInitialized: () => {
    byId('waiting').hidden = true;
    const names = FS.readdir('/warmbay/scenes/library').filter((name) => name.endsWith('.toml')).sort();
    for (const name of names) byId('scenes').add(new Option(name.replace(/\.toml$/, '').replaceAll('-', ' '), name));
    const asked = new URLSearchParams(location.search).get('scene');
    byId('scenes').value = names.includes(asked + '.toml') ? asked + '.toml' : 'laundry-wall.toml';
  },
};

function openPath(path) {
  byId('told').hidden = true;
  if (Module.ccall('warmbay_open', 'number', ['string'], [path])) byId('menu').open = false;
  Module.canvas.focus();
}

async function openFile(file) {
  const most = 8 << 20;  // the program itself refuses less than that; only so that no film is read in
  if (file.size > most) return tellVisitor(file.name + ': it is larger than a scene can be');
  FS.mkdirTree('/visitor');
  const path = '/visitor/' + file.name.replace(/[/\0]/g, '_');
  FS.writeFile(path, new Uint8Array(await file.arrayBuffer()));
  openPath(path);
}

byId('told-close').addEventListener('click', () => { byId('told').hidden = true; Module.canvas.focus(); });
byId('scenes').addEventListener('change', () => openPath('/warmbay/scenes/library/' + byId('scenes').value));
byId('choose').addEventListener('click', () => byId('file').click());
byId('file').addEventListener('change', () => { if (byId('file').files[0]) openFile(byId('file').files[0]); byId('file').value = ''; });
byId('whole').addEventListener('click', () => {
  if (!document.fullscreenEnabled) tellVisitor('This browser does not let a page fill the screen.');
  fillScreen(!document.fullscreenElement);
});
byId('forget').addEventListener('click', () => {
  try {
    for (const key of Object.keys(localStorage)) if (key.startsWith(storagePrefix)) localStorage.removeItem(key);
  } catch (refused) { /* then there is nothing */ }
  tellVisitor('Deleted. Nothing of this page is kept on this device any more.');
});
function download(name, type, text) {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(new Blob([text], { type }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}
byId('save').addEventListener('click', () => {
  const text = Module.ccall('warmbay_scene_text', 'string');
  if (text) download('scene.toml', 'text/plain', text);
  else tellVisitor('There is no scene yet.');
});
byId('report').addEventListener('click', () => {
  Module.ccall('warmbay_ask_for_report', null);
  byId('report').disabled = true;
  const from = Date.now();
  const look = setInterval(() => {
    const html = Module.ccall('warmbay_report_html', 'string');
    if (!html && Date.now() - from < 30000) return;
    clearInterval(look);
    byId('report').disabled = false;
    if (html) download('report.html', 'text/html', html);
    else tellVisitor('The report could not be made: there is no experiment yet.');
  }, 200);
});

Module.canvas.addEventListener('webglcontextlost', (event) => event.preventDefault());
Module.canvas.addEventListener('webglcontextrestored', () => {
  Module.canvas.getContext('webgl2').getExtension('OES_texture_float_linear');
  Module.ccall('warmbay_context_restored', null);
});

addEventListener('dragover', (event) => event.preventDefault());
addEventListener('drop', (event) => {
  event.preventDefault();
  if (event.dataTransfer.files[0]) openFile(event.dataTransfer.files[0]);
});
Module.canvas.addEventListener('pointerdown', () => Module.canvas.focus());
Module.canvas.addEventListener('contextmenu', (event) => event.preventDefault());

if (!hasWebGl2()) {
  byId('waiting-words').textContent = 'This browser has no WebGL 2, which the picture is drawn with.';
} else {
  const script = document.createElement('script');
  script.src = 'warmbay.js';
  script.onerror = () => { byId('waiting-words').textContent = 'The program could not be loaded.'; };
  document.body.append(script);
}
