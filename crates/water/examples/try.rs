#![allow(missing_docs)]
use water::*;
fn main(){
 if std::env::args().len()==1 { bench(); return; }
 for file in std::env::args().skip(1){
  let text=std::fs::read_to_string(&file).unwrap();
  let mut lines=text.lines(); let head:Vec<_>=lines.next().unwrap().split(',').collect();
  let (mut wc,mut wd,mut ws,mut wk,mut wh,mut wi,mut wden,mut it)=(0f64,0f64,0f64,0f64,0f64,0f64,0f64,0u32);
  for l in lines{ let c:Vec<_>=l.split(',').collect();
   let g=|n:&str|head.iter().position(|h|*h==n).and_then(|i|c[i].parse::<f64>().ok()).unwrap_or(0.0);
   let w=Water{temperature_c:g("T_C"),alkalinity_meq_l:g("alk_meqL")+g("total_alk_meqL"),ca_mg_l:g("Ca_mgL"),mg_mg_l:g("Mg_mgL"),na_mg_l:g("Na_mgL"),k_mg_l:g("K_mgL"),cl_mg_l:g("Cl_mgL"),so4_mg_l:g("SO4_mgL"),no3_mg_l:g("NO3_mgL"),po4_mg_l:g("PO4_mgL"),sio2_mg_l:g("SiO2_mgL"),b_mg_l:g("B_mgL"),tan_mg_l:0.0};
   let s=solve(&w,Given::Ph(g("pH"))).unwrap();
   let r=|a:f64,b:f64|a/b-1.0;
   wc=wc.max(r(s.co2_mg_l,g("co2_mgL")).abs()); wh=wh.max(r(s.hco3_mg_l,g("hco3_mgL")).abs());
   wd=wd.max(r(s.dic_mmol_l,g("dic_mmolL")).abs()); wi=wi.max(r(s.ionic_strength_mol_kg,g("ionic_strength_molkg")).abs());
   it=it.max(s.iterations);
   if g("sc_25_uScm")>0.0{ ws=ws.max((s.calcite_saturation_index-g("si_calcite")).abs()); wk=wk.max(r(s.conductivity_25_us_cm,g("sc_25_uScm")).abs()); wden=wden.max((s.density_kg_l-g("density_kgL")).abs());}
   println!("{} co2 {:+.5} hco3 {:+.5} dic {:+.5} I {:+.5} sc {:+.4} dens {:+.6} si {:+.5} it {} res {:.1e}",c[0],r(s.co2_mg_l,g("co2_mgL")),r(s.hco3_mg_l,g("hco3_mgL")),r(s.dic_mmol_l,g("dic_mmolL")),r(s.ionic_strength_mol_kg,g("ionic_strength_molkg")),r(s.conductivity_25_us_cm,g("sc_25_uScm")),s.density_kg_l-g("density_kgL"),s.calcite_saturation_index-g("si_calcite"),s.iterations,s.residual);
  }
  println!("{file} worst co2 {wc:.6} hco3 {wh:.6} dic {wd:.6} I {wi:.6} si {ws:.6} sc {wk:.5} dens {wden:.6} it {it}");
 }}

fn bench(){ let w=Water{temperature_c:24.3,alkalinity_meq_l:1.8,ca_mg_l:35.0,mg_mg_l:8.0,na_mg_l:10.0,k_mg_l:12.0,cl_mg_l:30.0,so4_mg_l:60.0,no3_mg_l:15.0,po4_mg_l:1.0,..Water::default()};
 let t=std::time::Instant::now(); let n=200000; let mut x=0.0;
 for i in 0..n{ let mut w=w; w.temperature_c+=f64::from(i%100)*0.01; x+=solve(&w,Given::Ph(6.5+f64::from(i%7)*0.3)).unwrap().co2_mg_l;}
 println!("{x} {} states/s",f64::from(n)/t.elapsed().as_secs_f64());
 let t=std::time::Instant::now(); let mut x=0.0;
 for i in 0..n{ let mut w=w; w.temperature_c+=f64::from(i%100)*0.01; x+=solve(&w,Given::DicMmolL(2.0+f64::from(i%7)*0.1)).unwrap().co2_mg_l;}
 println!("{x} {} dic/s",f64::from(n)/t.elapsed().as_secs_f64());
 let t=std::time::Instant::now(); let mut x=0.0;
 for i in 0..n{ x+=water::constants::Constants::at(20.0+f64::from(i%100)*0.01).k1;}
 println!("{x} {} const/s",f64::from(n)/t.elapsed().as_secs_f64());
}