using System.Globalization;
using System.Reflection;
using Evenwater.Core.Telling;
using Evenwater.Core.Water;

namespace Evenwater.Water;

/// <summary>One function or constant of Core's water science, found by its name, such as PracticalSalinity.Of.</summary>
internal sealed class WaterFunction
{
    /// <summary>Ends a temperature that is on the scale of 1968, as tables of that time are: 25@68.</summary>
    private const string Of1968 = "@68";

    private readonly MemberInfo _member;

    private WaterFunction(MemberInfo member)
    {
        _member = member;
        Name = $"{member.DeclaringType!.Name}.{member.Name}";
        Inputs = [.. Parameters.SelectMany(parameter => Names(parameter.Name!, parameter.ParameterType))];
    }

    /// <summary>All of them, by name.</summary>
    public static IReadOnlyList<WaterFunction> All { get; } =
    [
        .. typeof(PracticalSalinity).Assembly.GetExportedTypes()
            .Where(type => type.Namespace == typeof(PracticalSalinity).Namespace && !type.IsEnum)
            .SelectMany(type => type.GetMembers(BindingFlags.Public | BindingFlags.Static | BindingFlags.DeclaredOnly))
            .Where(member => member is MethodInfo { IsSpecialName: false } or FieldInfo)
            .Select(member => new WaterFunction(member))
            .OrderBy(function => function.Name, StringComparer.Ordinal),
    ];

    public string Name { get; }

    /// <summary>Names of its inputs in their order; each carries its unit.</summary>
    public IReadOnlyList<string> Inputs { get; }

    public bool IsConstant => _member is FieldInfo;

    private ParameterInfo[] Parameters => (_member as MethodInfo)?.GetParameters() ?? [];

    /// <summary>The function of a name; null when there is none.</summary>
    public static WaterFunction? Find(string name) => All.FirstOrDefault(function => string.Equals(function.Name, name, StringComparison.OrdinalIgnoreCase));

    /// <summary>
    /// The answer to inputs as they are written; at the end those may be left out that have a default. Throws <see cref="FormatException"/> for what is no
    /// number, or too many or too few of them, and <see cref="ArgumentOutOfRangeException"/> where the function does.
    /// </summary>
    public object Ask(IReadOnlyList<string> inputs)
    {
        if (_member is FieldInfo constant && inputs.Count == 0) return constant.GetValue(null)!;
        var left = new Queue<string>(inputs);
        var values = Array.ConvertAll(Parameters, parameter => left.Count == 0 && parameter.HasDefaultValue ? parameter.DefaultValue : Take(parameter.ParameterType, left));
        if (left.Count > 0) throw new FormatException($"{Name} takes {HowMany.Of(Inputs.Count, "input")}: {string.Join(' ', Inputs)}.");
        return ((MethodInfo)_member).Invoke(null, BindingFlags.DoNotWrapExceptions, null, values, null)!;
    }

    /// <summary>What of the inputs lies outside what the function was published for although it answers: where it is held or carried on there, its class says so by IsInRange. Null when nothing does.</summary>
    public string? Outside(IReadOnlyList<string> inputs)
    {
        if (_member is not MethodInfo { ReturnType: var answers } || answers == typeof(bool) || _member.DeclaringType!.GetMethod("IsInRange") is not { } range) return null;
        var places = Array.ConvertAll(range.GetParameters(), asked => Array.FindIndex(Parameters, own => own.Name == asked.Name && IsPlain(own.ParameterType)));
        if (places.Any(place => place < 0) || Parameters.Any(own => !IsPlain(own.ParameterType))) return null;
        var values = Array.ConvertAll(places, place => (object?)Take(Parameters[place].ParameterType, new Queue<string>([inputs[place]])));
        return (bool)range.Invoke(null, values)! ? null : string.Join(", ", places.Select(place => $"{Parameters[place].Name} = {inputs[place]}"));
    }

    /// <summary>Every number of an answer with its name; one number alone has none.</summary>
    public static IEnumerable<(string Name, double Value)> Numbers(object answer) => answer switch
    {
        double number => [("", number)],
        bool flag => [("", flag ? 1 : 0)],
        _ => answer.GetType().GetProperties(BindingFlags.Public | BindingFlags.Instance).SelectMany(property => Numbers(property.GetValue(answer)!)
            .Select(part => (part.Name.Length == 0 ? property.Name : $"{property.Name}.{part.Name}", part.Value))),
    };

    private static bool IsPlain(Type type) => type.IsPrimitive || type.IsEnum;

    /// <summary>The constructor that names every part of a record.</summary>
    private static ConstructorInfo Whole(Type type) => type.GetConstructors().OrderByDescending(c => c.GetParameters().Length).First();

    private static IEnumerable<string> Names(string name, Type type) => IsPlain(type)
        ? [name]
        : Whole(type).GetParameters().SelectMany(part => Names($"{name}{part.Name}", part.ParameterType));

    private object Take(Type type, Queue<string> left)
    {
        if (!IsPlain(type)) return Whole(type).Invoke(Array.ConvertAll(Whole(type).GetParameters(), part => (object?)Take(part.ParameterType, left)));
        if (!left.TryDequeue(out var text)) throw new FormatException($"{Name} takes {HowMany.Of(Inputs.Count, "input")}: {string.Join(' ', Inputs)}.");
        if (type.IsEnum)
        {
            return Enum.TryParse(type, text, ignoreCase: true, out var choice) && Enum.IsDefined(type, choice) ? choice
                : throw new FormatException($"{text}: allowed are {string.Join(", ", Enum.GetNames(type))}.");
        }

        var old = text.EndsWith(Of1968, StringComparison.Ordinal);
        if (!double.TryParse(old ? text[..^Of1968.Length] : text, NumberStyles.Float, CultureInfo.InvariantCulture, out var number) || !double.IsFinite(number)) throw new FormatException($"{text}: not a number. Write it with a point and without any comma, such as 24.5.");
        if (type == typeof(int)) return number == Math.Truncate(number) && Math.Abs(number) < int.MaxValue ? (object)(int)number : throw new FormatException($"{text}: a whole number is needed.");
        return old ? number / TemperatureScale.To1968(1) : number;
    }
}
