// esbuild takes style sheets from imports.
declare module "*.css";
