// SPDX-License-Identifier: Apache-2.0
// The search of the site asks for the way to its root by this name.
window.base_url = document.documentElement.dataset.base;
window.min_search_length = 3;
