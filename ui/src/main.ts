import { shutDoors } from './doors';
import { mount } from 'svelte';
import App from './App.svelte';
import { keptSettings } from './wire/studio';
import './tokens/colour.css';
import './tokens/type.css';
import './tokens/space.css';

// Where the studio can't be opened all is as at first, and nothing is written; the screens say why.
const kept = await keptSettings().catch(() => null);
mount(App, { target: document.body, props: { kept } });
shutDoors(window);
