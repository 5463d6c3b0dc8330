#pragma once
// What the generated loader is elsewhere: a page has OpenGL ES 3.0 (WebGL 2), and its functions need no loading.

#include <GLES3/gl3.h>

using GLADloadfunc = void* (*)(const char*);
inline int gladLoadGL(GLADloadfunc) {
  return 30000;  // as glad says 3.0
}
#define GLAD_VERSION_MAJOR(version) ((version) / 10000)
#define GLAD_VERSION_MINOR(version) ((version) % 10000)
