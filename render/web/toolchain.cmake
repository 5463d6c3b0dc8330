# Compiles for WebAssembly: the distribution's emscripten, wherever it lies.
find_program(EM_CONFIG em-config REQUIRED)
execute_process(COMMAND ${EM_CONFIG} EMSCRIPTEN_ROOT OUTPUT_VARIABLE EMSCRIPTEN_ROOT OUTPUT_STRIP_TRAILING_WHITESPACE
                COMMAND_ERROR_IS_FATAL ANY)
list(APPEND CMAKE_TRY_COMPILE_PLATFORM_VARIABLES WARMBAY_WEB_SOURCES WARMBAY_WEB_THREADS)
include(${EMSCRIPTEN_ROOT}/cmake/Modules/Platform/Emscripten.cmake)
list(PREPEND CMAKE_MODULE_PATH ${CMAKE_CURRENT_LIST_DIR}/modules)

# Exceptions: WebAssembly's own, which cost nothing until one is thrown. Beside threads they are never caught
# (emscripten 3.1.6), so there those of JavaScript are.
set(modes "-msimd128")
if(WARMBAY_WEB_THREADS)
  string(APPEND modes " -pthread -fexceptions")
else()
  string(APPEND modes " -fwasm-exceptions")
endif()
set(CMAKE_C_FLAGS_INIT "${modes}")
set(CMAKE_CXX_FLAGS_INIT "${modes}")
set(CMAKE_EXE_LINKER_FLAGS_INIT "${modes}")
