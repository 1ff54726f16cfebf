# SPDX-License-Identifier: Apache-2.0
# The Debian package: `ninja -C build manual && cpack -G DEB --config build/CPackConfig.cmake -B build`.
add_custom_command(OUTPUT ${PROJECT_BINARY_DIR}/afterscope.1
  COMMAND bash ${PROJECT_SOURCE_DIR}/app/man_page.sh $<TARGET_FILE:afterscope> ${PROJECT_BINARY_DIR}/afterscope.1
  DEPENDS afterscope ${PROJECT_SOURCE_DIR}/app/man_page.sh)
add_custom_target(manual DEPENDS ${PROJECT_BINARY_DIR}/afterscope.1)

install(FILES ${PROJECT_BINARY_DIR}/afterscope.1 DESTINATION ${CMAKE_INSTALL_MANDIR}/man1 OPTIONAL)
install(FILES assets/desktop/afterscope.desktop DESTINATION ${CMAKE_INSTALL_DATADIR}/applications)
install(FILES assets/desktop/afterscope.svg DESTINATION ${CMAKE_INSTALL_DATADIR}/icons/hicolor/scalable/apps)
install(FILES assets/desktop/copyright DESTINATION ${CMAKE_INSTALL_DOCDIR})

# Packing takes what is built; it does not build the tests.
set(CMAKE_SKIP_INSTALL_ALL_DEPENDENCY TRUE)
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_CONTACT "Afterscope <afterscope@localhost>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "Review, measure and teach from recorded cataract operations")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_DEPENDS "fonts-noto-core | fonts-dejavu-core")
set(CPACK_DEBIAN_PACKAGE_RECOMMENDS "libgl1-mesa-dri, libegl1")
include(CPack)
