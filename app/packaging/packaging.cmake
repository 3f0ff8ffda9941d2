# What is installed beside the program and the libraries, and the Debian package.
include(CMakePackageConfigHelpers)

set(data ${CMAKE_INSTALL_DATADIR}/reedwright)
install(DIRECTORY materials designs DESTINATION ${data})
install(FILES LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR} RENAME copyright)
install(FILES README.md DESTINATION ${CMAKE_INSTALL_DOCDIR})

# Headers: all of core; of cad_export those that need neither OpenCASCADE nor cairo.
set(headers ${CMAKE_INSTALL_INCLUDEDIR}/reedwright)
install(DIRECTORY core DESTINATION ${headers} FILES_MATCHING PATTERN "*.hpp")
foreach(header IN ITEMS cad_interface cad_loader cut_path drawing dxf figure nest palette shop_sheet text_ruler)
  install(FILES cad_export/${header}.hpp DESTINATION ${headers}/cad_export)
endforeach()

# find_package(reedwright).
set(package ${CMAKE_INSTALL_LIBDIR}/cmake/reedwright)
set(cad_folder ${CMAKE_INSTALL_LIBDIR}/reedwright)
install(EXPORT reedwright NAMESPACE reedwright:: DESTINATION ${package} FILE reedwright-targets.cmake)
configure_package_config_file(${CMAKE_CURRENT_LIST_DIR}/reedwright-config.cmake.in
  ${CMAKE_BINARY_DIR}/reedwright-config.cmake
  INSTALL_DESTINATION ${package} PATH_VARS data cad_folder)
write_basic_package_version_file(${CMAKE_BINARY_DIR}/reedwright-config-version.cmake COMPATIBILITY SameMinorVersion)
install(FILES ${CMAKE_BINARY_DIR}/reedwright-config.cmake ${CMAKE_BINARY_DIR}/reedwright-config-version.cmake
  DESTINATION ${package})

# The program describes its own commands: manual page and completions cannot fall behind.
if(REEDWRIGHT_APP)
  set(described ${CMAKE_BINARY_DIR}/described)
  file(MAKE_DIRECTORY ${described})
  find_program(REEDWRIGHT_GZIP gzip REQUIRED DOC "Packs the manual page")
  add_custom_command(OUTPUT ${described}/reedwright.1.gz ${described}/reedwright.bash ${described}/_reedwright
      ${described}/reedwright.fish
    COMMAND reedwright --manual > ${described}/reedwright.1
    COMMAND ${REEDWRIGHT_GZIP} -9nf ${described}/reedwright.1
    COMMAND reedwright --completion bash > ${described}/reedwright.bash
    COMMAND reedwright --completion zsh > ${described}/_reedwright
    COMMAND reedwright --completion fish > ${described}/reedwright.fish
    DEPENDS reedwright VERBATIM)
  add_custom_target(reedwright_described ALL DEPENDS ${described}/reedwright.1.gz)
  install(FILES ${described}/reedwright.1.gz DESTINATION ${CMAKE_INSTALL_MANDIR}/man1)
  install(FILES ${described}/reedwright.bash
    DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions RENAME reedwright)
  install(FILES ${described}/_reedwright DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/vendor-completions)
  install(FILES ${described}/reedwright.fish DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d)
endif()

# `cpack -G DEB` in the build folder, or `./dev package`.
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME reedwright)
set(CPACK_PACKAGE_VENDOR "reedwright")
set(CPACK_PACKAGE_CONTACT "the reedwright authors <reedwright@saltmere-quay.invalid>")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_MONOLITHIC_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PACKAGE_DESCRIPTION
"From dimensions and alloy of a free reed to its pitch with its uncertainty; where
and how deep to cut for a wanted shift; plates from notes; STEP, DXF and drawings
for the shop; the blown reed. With its library for C++ programs.")
# Linked libraries are found by dpkg-shlibdeps; a font is only named.
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_DEPENDS fonts-dejavu-core)
set(CPACK_DEBIAN_PACKAGE_SUGGESTS "g++, cmake, pkg-config, libboost-dev, libfmt-dev, libyaml-cpp-dev, libexpected-dev, libcairo2-dev")
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION ON)
include(CPack)
