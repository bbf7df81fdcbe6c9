System.Console.Error.WriteLine("nothing here yet"); return 2;
