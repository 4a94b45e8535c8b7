// Runs before the first paint: a theme chosen earlier wins over the device's.
try {
  const theme = localStorage.getItem("fairtank-theme");
  const root = document.documentElement;
  if ((theme === "light" || theme === "dark") && !root.dataset.theme) root.dataset.theme = theme;
} catch {
  // Storage may be switched off; the device's theme then stands.
}
