# sim as a shared library, built from the same sources for every x86-64 processor and once more for each level of the
# processors' common supplement that is faster (psABI: x86-64-v3 has AVX2, -v4 AVX-512; -v2 gains nothing). The programs
# name one libsim.so; glibc's loader (2.33 or newer) looks first into glibc-hwcaps beside it for the highest level that
# the processor bears. An older or another loader takes the plain one. Each file says which level it needs (-z), so that
# a loader can refuse one that was put where it does not belong.
#
# Inline functions and templates exist in the programs as well as in each libsim.so, compiled for different processors:
# each must call its own. So the library binds what it defines to itself (-Bsymbolic) and hands out nothing but
# warmbay::sim, inline functions left out; a program always brings those it calls. tests/widths/run looks at it.
set(WARMBAY_LEVELS x86-64-v3 x86-64-v4 CACHE STRING "Levels that sim is built for besides the plain x86-64")
set(sim_place ${PROJECT_BINARY_DIR}/lib/warmbay)
set(sim_installed lib/warmbay)

# warmbay_sim(TARGET FOLDER LEVEL): one libsim.so, in that folder below lib/warmbay. LEVEL "": for every processor.
function(warmbay_sim target folder level)
  add_library(${target} SHARED ${sources})
  target_link_libraries(${target} PUBLIC warmbay_flags Threads::Threads)
  target_compile_options(${target} PRIVATE -fvisibility-inlines-hidden -fno-semantic-interposition)
  target_link_options(${target} PRIVATE -Wl,-Bsymbolic -Wl,--no-undefined
                      -Wl,--version-script=${PROJECT_SOURCE_DIR}/sim/exports.map)
  set_target_properties(${target} PROPERTIES WARMBAY_LEVEL "${level}" OUTPUT_NAME sim INSTALL_RPATH ""
                        LIBRARY_OUTPUT_DIRECTORY ${sim_place}/${folder}
                        LINK_DEPENDS ${PROJECT_SOURCE_DIR}/sim/exports.map)
  install(TARGETS ${target} LIBRARY DESTINATION ${sim_installed}/${folder})
endfunction()

include(CheckLinkerFlag)
check_linker_flag(CXX -Wl,-z,x86-64-v4 WARMBAY_LINKER_KNOWS_LEVELS)
warmbay_sim(sim . "")
foreach(level IN LISTS WARMBAY_LEVELS)
  warmbay_sim(sim-${level} glibc-hwcaps/${level} ${level})
  if(WARMBAY_LINKER_KNOWS_LEVELS)
    target_link_options(sim-${level} PRIVATE -Wl,-z,${level})
  endif()
  add_dependencies(sim sim-${level})
endforeach()
