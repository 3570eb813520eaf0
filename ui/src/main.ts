import { mount } from 'svelte';
import App from './App.svelte';
import './tokens/colour.css';
import './tokens/type.css';
import './tokens/space.css';

mount(App, { target: document.body });
